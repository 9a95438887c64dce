"""Body and water on shore: typed without script, kept in the active season, read out below, and never in the way."""

import re

import pytest

from webapp.actions import seasons

REFERENCE = {
    "body_kg": "75",
    "suit_l": "5",
    "suit_kg": "1",
    "lead_kg": "2",
    "total_l": "7,0",
    "residual_l": "1.75",
    "alarms_m-0": "30",
    "alarms_m-1": "12,5",
    "mouthfill": "y",
}


def stored(app, season_id: int = 1) -> dict:
    with app.app_context():
        return seasons.get_season(1, season_id).raw


def test_without_a_season_the_page_says_so_and_leads_to_one(diver) -> None:
    page = diver.get("/diver/")

    assert "No active season" in page.words
    assert "/seasons/new" in page.links


def test_the_way_there_is_in_the_navigation_and_on_the_seasons_page(planner_of_may) -> None:
    assert planner_of_may.get("/seasons/").links.count("/diver/") == 2


def test_with_nothing_filled_in_the_page_and_the_plan_are_there(planner_of_may, app) -> None:
    page = planner_of_may.get("/diver/")

    assert page.status == 200
    assert "Your lungs are not filled in" in page.words
    assert "FIM deep dive 38 m" in planner_of_may.get("/seasons/1/plan").words
    assert "diver" not in stored(app)


def test_an_empty_form_can_be_saved(planner_of_may, app) -> None:
    page = planner_of_may.fill("/diver/", {}, holding="body_kg")

    assert "Saved" in page.words
    assert stored(app)["diver"] == {}


def test_what_is_typed_is_kept_in_the_season_and_comes_back_as_typed(planner_of_may, app) -> None:
    page = planner_of_may.fill("/diver/", REFERENCE)
    fields = page.form("body_kg")["fields"]

    assert stored(app)["diver"] == {
        "body_kg": 75, "suit_l": 5, "suit_kg": 1, "lead_kg": 2, "total_l": 7, "residual_l": 1.75,
        "mouthfill": True, "alarms_m": [30, 12.5],
    }  # fmt: skip
    assert [fields[name] for name in ("total_l", "alarms_m-0", "alarms_m-1", "alarms_m-2", "mouthfill")] == [
        "7", "30", "12.5", "", "y",
    ]  # fmt: skip


def test_saving_an_untouched_form_changes_nothing(planner_of_may, app) -> None:
    planner_of_may.fill("/diver/", REFERENCE)
    before = stored(app)
    planner_of_may.fill("/diver/", {}, holding="body_kg")

    assert stored(app) == before


def test_the_readings_follow_what_is_saved(planner_of_may) -> None:
    page = planner_of_may.fill("/diver/", REFERENCE)

    assert "you are neutral at about 15 m" in page.words
    assert "The volumes are measured" in page.words
    assert "mL left at" in page.words
    assert "FIM: 0.95 m/s from the rulebook" in page.words


def test_the_seasons_own_rules_and_site_go_into_the_readings(planner_of_may) -> None:
    planner_of_may.fill("/diver/", REFERENCE)
    planner_of_may.fill("/rulebook/", {"rule:lead.neutral_m": "20"})
    planner_of_may.fill("/seasons/1", {"water": "fresh", "altitude_m": "1000", "do": "save"})
    words = planner_of_may.get("/diver/").words

    assert "shallower than the rulebook's 20 m: take lead off" in words
    assert "0.899 bar of air" in words


def test_cautions_stand_before_the_fields_that_they_are_about(planner_of_may) -> None:
    page = planner_of_may.fill("/diver/", {"sex": "man", "height_cm": "180", "age_years": "30", "body_kg": "75"})
    form = page.html.index('name="body_kg"')

    for caution in ("an estimate", "test it at the line", "sinks when unconscious", "only with a coach", "not a limit"):
        assert page.html.index(caution) < form, caution


@pytest.mark.parametrize(
    ("field", "text", "range_words"),
    [
        ("body_kg", "7500", "from 30 to 200"),
        ("body_kg", "nan", "from 30 to 200"),
        ("body_density", "1065", "from 1 to 1.1"),
        ("suit_l", "-1", "from 0 to 25"),
        ("suit_kg", "thick", "from 0 to 15"),
        ("lead_kg", "31", "from 0 to 30"),
        ("height_cm", "1,8", "from 140 to 210"),
        ("age_years", "7", "from 18 to 80"),
        ("packing_l", "6", "from 0 to 5"),
        ("relaxed_l", "inf", "from 0.3 to 16"),
        ("alarms_m-0", "-5", "from 0.5 to 200"),
        ("alarms_m-3", "5000", "from 0.5 to 200"),
        ("alarms_m-7", "NaN", "from 0.5 to 200"),
        ("total_l", "6", "both, or neither"),
        ("sex", "x", "one of man, woman"),
    ],
)
def test_an_absurd_value_is_refused_with_its_range_beside_the_field_and_at_the_top(
    planner_of_may, app, field: str, text: str, range_words: str
) -> None:
    page = planner_of_may.fill("/diver/", {"suit_l": "4", field: text})
    target = re.search(r'<a href="#([^"]+)">', page.html.split('id="faults"')[1].split("</section>")[0])

    beside = "residual_l" if field == "total_l" else field  # it is the other half that is missing
    assert page.status == 400
    assert range_words in page.fault_of(beside)
    assert target is not None
    assert any(given.get("id") == target[1] and given.get("name") == beside for _, given in page.tags)
    assert page.form("body_kg")["fields"][field] == ("" if field == "sex" else text)
    assert "diver" not in stored(app)


def test_all_faults_are_told_at_once_in_the_order_of_the_fields_and_nothing_typed_is_lost(planner_of_may) -> None:
    page = planner_of_may.fill(
        "/diver/", {"body_kg": "1", "total_l": "x", "residual_l": "2", "alarms_m-1": "0", "mouthfill": "y"}
    )
    fields = page.form("body_kg")["fields"]

    assert "3 things need a look" in page.words
    assert page.words.index("Mass of the body must") < page.words.index("Total capacity must")
    assert "Alarm 2 must be a number from 0.5 to 200, not 0." in page.words
    assert [fields[name] for name in ("body_kg", "residual_l", "alarms_m-1", "mouthfill")] == ["1", "2", "0", "y"]


def test_a_dead_token_saves_nothing_and_gives_the_form_back_as_typed(planner_of_may, app) -> None:
    page = planner_of_may.fill("/diver/", {**REFERENCE, "csrf_token": "stale"}, holding="body_kg")

    assert page.status == 400
    assert "send it again" in page.words
    assert page.form("body_kg")["fields"]["total_l"] == "7,0"
    assert "diver" not in stored(app)
    assert "Saved" in planner_of_may.send(page, "/diver/", {}, holding="body_kg").words


def test_the_diver_and_the_rules_stay_when_the_season_is_changed(planner_of_may, app) -> None:
    planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1"})
    planner_of_may.fill("/diver/", REFERENCE)
    before = stored(app)
    planner_of_may.fill("/seasons/1", {"bottom_m": "60", "do": "save"}, holding="name")
    after = stored(app)

    assert after["site"]["bottom_m"] == 60
    assert (after["diver"], after["rules"]) == (before["diver"], {"warm_up.dives": 1})
    assert before["diver"]["body_kg"] == 75


def test_a_change_of_the_rules_keeps_the_diver_and_the_other_way_round(planner_of_may, app) -> None:
    planner_of_may.fill("/diver/", REFERENCE)
    planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1"})
    planner_of_may.fill("/diver/", {"lead_kg": "1"})

    assert stored(app)["diver"]["lead_kg"] == 1
    assert stored(app)["rules"] == {"warm_up.dives": 1}


def test_a_new_season_begins_with_the_diver_of_the_newest_one_but_not_with_its_rules(planner_of_may, app) -> None:
    planner_of_may.fill("/diver/", REFERENCE)
    planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1"})
    planner_of_may.set_up(name="Autumn")
    planner_of_may.press("/seasons/", "/seasons/2/activate")
    planner_of_may.fill("/diver/", {"lead_kg": "3"})
    planner_of_may.set_up(name="Winter")

    assert [stored(app, at)["diver"]["lead_kg"] for at in (1, 2, 3)] == [2, 3, 3]
    assert stored(app, 2)["rules"] == {}


def test_altitude_and_salinity_of_the_site_are_kept_and_may_stay_empty(planner_of_may, app) -> None:
    planner_of_may.fill("/seasons/1", {"altitude_m": "430", "salinity": "7,5", "do": "save"})
    fields = planner_of_may.get("/seasons/1").form("name")["fields"]

    assert (stored(app)["site"]["altitude_m"], stored(app)["site"]["salinity"]) == (430, 7.5)
    assert (fields["altitude_m"], fields["salinity"]) == ("430", "7.5")
    assert "saved" in planner_of_may.fill("/seasons/1", {"altitude_m": "", "salinity": "", "do": "save"}).words


@pytest.mark.parametrize(("field", "text"), [("altitude_m", "9000"), ("altitude_m", "nan"), ("salinity", "-1")])
def test_an_absurd_site_is_refused_beside_its_field(planner_of_may, field: str, text: str) -> None:
    page = planner_of_may.fill("/seasons/1", {field: text, "do": "save"})

    assert page.status == 400
    assert re.search(r"from -?\d+ to \d+", page.fault_of(field))
    assert page.form("name")["fields"][field] == text


def test_nobody_sees_the_body_of_somebody_else(planner_of_may, app, person) -> None:
    planner_of_may.fill("/diver/", REFERENCE)
    page = planner_of_may.fill("/account/", {}, holding="/account/invite")
    link = re.search(r'/account/sign-up\?[^"\s]+', page.html)[0].replace("&amp;", "&")
    other = person(app)
    other.sign_up("Ebba Strand", "another long word", link)

    assert "No active season" in other.get("/diver/").words
    assert other.set_up().status == 200
    assert "diver" not in stored_of(app, 2)


def stored_of(app, user_id: int) -> dict:
    with app.app_context():
        return seasons.list_seasons(user_id)[0].raw


def test_what_is_typed_cannot_become_markup(planner_of_may) -> None:
    page = planner_of_may.fill("/diver/", {"body_kg": '"><script>alert(1)</script>'})

    assert "<script>alert(1)" not in page.html
