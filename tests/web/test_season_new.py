"""A new season on shore: a few values, a proposal that can be changed in place, and what the log fills in."""

import pytest
from support.phones import DIVE, Phone

from webapp.actions import seasons, sync
from webapp.rulebook_file import read_rulebook

SIX = {
    "first_day": "2027-06-01",
    "last_day": "2027-07-17",
    "bottom_m": "55",
    "levels-0-comfortable_m": "38,5",
    "levels-0-comfortable_on": "2027-05-01",
    "levels-0-goal_m": "46",
}


def raw_of(app, season_id: int = 1) -> dict:
    with app.app_context():
        return seasons.get_season(1, season_id).raw


def propose(diver, **typed):
    return diver.fill("/seasons/new", {**SIX, **typed})


def test_six_values_give_a_plan_and_nothing_is_saved_yet(diver) -> None:
    page = propose(diver)

    assert page.status == 200
    assert "This is a proposal: nothing is saved yet." in page.words
    assert "FIM deep dive" in page.words
    assert "No season yet" in diver.get("/seasons/").words


def test_the_proposal_is_in_the_form_to_be_changed_in_place_and_saved(diver, app) -> None:
    page = propose(diver)
    fields = page.form("name")["fields"]
    saved = diver.send(page, "", {"do": "save", "blocks-0-days_on": "3"}, holding="name")
    raw = raw_of(app)

    assert "June 2027 is saved" in saved.words
    assert [fields[name] for name in ("FIM-best_m", "FIM-aim_m", "FIM-repeats_below_best", "FIM-repeats")] == [
        "38.5", "46", "1", "3",
    ]  # fmt: skip
    assert [(fields[f"blocks-{at}-first_day"], fields[f"blocks-{at}-last_day"]) for at in (0, 1)] == [
        ("2027-06-01", "2027-06-21"), ("2027-06-27", "2027-07-17"),
    ]  # fmt: skip
    assert fields["blocks-0-drills-0-percent"] == "50"
    assert [block["days_on"] for block in raw["blocks"]] == [3, 2]
    assert raw["book"] == read_rulebook().edition


def test_two_disciplines_take_turns(diver) -> None:
    second = {"discipline": "CNF", "comfortable_m": "24", "comfortable_on": "2027-05-01", "goal_m": "30"}
    page = propose(diver, **{f"levels-1-{name}": text for name, text in second.items()})
    fields = page.form("name")["fields"]

    assert [fields[f"blocks-{at}-main"] for at in (0, 1)] == ["FIM", "CNF"]
    assert [fields[f"blocks-{at}-drills-0-discipline"] for at in (0, 1)] == ["CNF", "FIM"]


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("first_day", ""), ("first_day", "2027-04-01"), ("last_day", "2027-05-01"), ("last_day", "2029-05-01"),
        ("bottom_m", ""), ("bottom_m", "3"), ("levels-0-discipline", "XYZ"), ("levels-0-comfortable_m", ""),
        ("levels-0-comfortable_m", "deep"), ("levels-0-comfortable_on", "2027-06-02"),
        ("levels-0-comfortable_on", ""), ("levels-0-goal_m", "999"), ("levels-1-comfortable_m", "x"),
        ("site_name", "x" * 201),
    ],
)  # fmt: skip
def test_a_bad_value_is_told_beside_its_field_and_all_stays_as_typed(diver, field: str, text: str) -> None:
    page = propose(diver, **{field: text})
    fields = page.form("bottom_m")["fields"]

    assert page.status == 400
    assert page.fault_of(field if field != "first_day" or not text else "levels-0-comfortable_on")
    assert fields[field].strip() == text or field == "levels-0-discipline"
    assert "locks" not in page.words.split("things need a look")[-1].split("Rulebook")[0]


def test_all_faults_are_told_at_once_and_each_once(diver) -> None:
    page = propose(diver, first_day="", bottom_m="x", **{"levels-0-comfortable_m": "y"})

    assert "3 things need a look" in page.words


def test_a_diver_with_a_log_gets_comfortable_depth_date_best_and_site_filled_in(planner_of_may, clock, app) -> None:
    phone = Phone()
    for day, depth_m in (("2027-04-20", 43), ("2027-05-04", 37), ("2027-05-06", 39), ("2027-05-07", 39)):
        phone.put(fields={**DIVE, "date": day, "target_m": depth_m, "reached_m": depth_m})
    phone.put(fields={**DIVE, "date": "2027-01-07", "target_m": 45, "reached_m": 45})
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    page = planner_of_may.get("/seasons/new")
    fields = page.form("bottom_m")["fields"]
    window = {"first_day": "2027-06-01", "last_day": "2027-06-20"}
    whole = planner_of_may.send(page, "/seasons/new", window).form("name")["fields"]

    assert (fields["bottom_m"], fields["site_name"]) == ("55", "Holm Rock")
    assert [fields[f"levels-0-{name}"] for name in ("discipline", "comfortable_m", "comfortable_on")] == [
        "FIM", "39", "2027-05-07",
    ]  # fmt: skip
    assert (whole["FIM-best_m"], whole["site_name"], whole["water"]) == ("45", "Holm Rock", "salt")


def test_a_form_with_a_dead_token_comes_back_as_typed(diver) -> None:
    page = diver.post("/seasons/new", {**SIX, "csrf_token": "dead"})

    assert page.status == 400
    assert "open for too long" in page.words
    assert page.form("bottom_m")["fields"]["levels-0-goal_m"] == "46"


def test_every_field_can_still_be_filled_in_by_oneself(diver) -> None:
    assert "/seasons/new/all" in diver.get("/seasons/new").links


def test_own_numbers_of_the_proposal_count_for_the_next_season(planner_of_may) -> None:
    planner_of_may.fill("/rulebook/", {"rule:setup.days_off": "2"})
    page = propose(planner_of_may)

    assert page.form("name")["fields"]["blocks-0-days_off"] == "2"


def test_the_water_of_the_last_season_goes_with_its_site_and_not_with_another(planner_of_may) -> None:
    planner_of_may.fill("/seasons/1", {"do": "save", "temperature_c": "14"}, holding="name")
    here = propose(planner_of_may, site_name="Holm Rock").form("name")["fields"]
    elsewhere = propose(planner_of_may, site_name="Skarn Wall").form("name")["fields"]

    assert (here["temperature_c"], elsewhere["temperature_c"]) == ("14", "")
