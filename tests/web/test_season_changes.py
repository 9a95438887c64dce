"""A stored season changed on shore: from a day on, corrected from the start, compared, and taken back."""

import re

import pytest

from webapp.actions import seasons

TODAY, TOMORROW = "2027-05-10", "2027-05-11"


def raw_of(app) -> dict:
    with app.app_context():
        return seasons.get_season(1, 1).raw


def targets(page) -> dict[str, str]:
    """The deep target of each day that has one."""
    rows = re.findall(r'<time datetime="([\d-]+)".*?<td>(.*?)</td>', page.html, re.S)
    found = {day: re.search(r"deep dive <span[^>]+>([\d.]+) m", row) for day, row in rows}
    return {day: deep[1] for day, deep in found.items() if deep}


def edit(diver, **typed):
    return diver.fill("/seasons/1", {"do": "save", **typed}, holding="name")


def test_before_anything_was_dived_saving_corrects_the_whole_season(planner_of_may, app) -> None:
    fields = planner_of_may.get("/seasons/1").form("name")["fields"]
    edit(planner_of_may, **{"FIM-aim_m": "47"})

    assert fields["holds-since"] == "start"
    assert "changes" not in raw_of(app)
    assert raw_of(app)["disciplines"][0]["goals"]["aim_m"] == 47


def test_once_something_was_dived_a_change_holds_from_tomorrow_with_its_reason_and_only_what_differs(
    diving, app
) -> None:
    before = targets(diving.get("/seasons/1/plan"))
    fields = diving.get("/seasons/1").form("name")["fields"]
    page = edit(diving, **{"FIM-step_m": "1", "holds-why": "ears are slow this year", "name": "May, slowly"})
    after = targets(page)

    assert [fields["holds-since"], fields["holds-from_day"]] == ["day", TOMORROW]
    assert [(one["from"], set(one["set"]), one["why"]) for one in raw_of(app)["changes"]] == [
        (TOMORROW, {"disciplines"}, "ears are slow this year")
    ]
    assert {day: depth for day, depth in before.items() if day <= TODAY} == {
        day: depth for day, depth in after.items() if day <= TODAY
    }
    assert before != after
    assert "Changes of this season From Tue 11 May 2027: disciplines and goals. ears are slow this year" in page.words
    assert "May, slowly" in page.words


def test_an_untouched_form_saves_no_change(diving, app) -> None:
    before = raw_of(app)
    edit(diving)

    assert before == raw_of(app)


def test_the_form_shows_the_season_with_the_change_and_a_second_edit_for_the_same_day_keeps_the_first(
    diving, app
) -> None:
    edit(diving, **{"FIM-aim_m": "47", "holds-why": "a cold"})
    assert diving.get("/seasons/1").form("name")["fields"]["FIM-aim_m"] == "47"
    edit(diving, bottom_m="50")

    (change,) = raw_of(app)["changes"]
    assert (change["from"], change["why"]) == (TOMORROW, "a cold")
    assert change["set"]["disciplines"][0]["goals"]["aim_m"] == 47
    assert change["set"]["site"]["bottom_m"] == 50


def test_back_to_what_it_was_takes_the_part_out_of_the_change(diving, app) -> None:
    edit(diving, bottom_m="50")
    edit(diving, bottom_m="55")

    assert "changes" not in raw_of(app)


def test_a_correction_from_the_start_lists_past_targets_that_would_read_differently_before_it_is_saved(
    diving, app
) -> None:
    typed = {"holds-since": "start", "FIM-comfortable_m": "34"}
    page = edit(diving, **typed)

    assert "Targets of days gone by would read differently" in page.words
    assert "Mon 3 May FIM 36 m FIM 32 m" in page.words
    assert raw_of(app)["disciplines"][0]["comfortable_m"] == 38.5

    diving.send(page, "/seasons/1", {"do": "rewrite"}, holding="name")
    assert raw_of(app)["disciplines"][0]["comfortable_m"] == 34
    assert "changes" not in raw_of(app)


def test_a_correction_reaches_through_a_change_that_had_begun(diving, app, clock) -> None:
    edit(diving, bottom_m="50")
    clock.wait(days=2)
    page = edit(diving, **{"holds-since": "start", "bottom_m": "54"})

    assert page.status == 200
    assert raw_of(app)["site"]["bottom_m"] == 54
    assert "changes" not in raw_of(app)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"holds-from_day": "soon", "bottom_m": "50"}, "holds-from_day"),
        ({"holds-from_day": "", "bottom_m": "50"}, "holds-from_day"),
        ({"holds-from_day": "0001-01-01", "bottom_m": "50"}, "holds-from_day"),
        ({"holds-from_day": "2027-05-03", "bottom_m": "50"}, "holds-from_day"),
        ({"holds-from_day": "2027-05-31", "bottom_m": "50"}, "holds-from_day"),
        ({"first_day": "2027-05-02"}, "first_day"),
        ({"bottom_m": "2"}, "bottom_m"),
        ({"FIM-best_m": "deep"}, "FIM-best_m"),
        ({"blocks-1-last_day": "2027-06-02"}, "blocks-1-last_day"),
        ({"bottom_m": "50", "holds-why": "x" * 2001}, "holds-why"),
    ],
)
def test_every_fault_of_a_change_is_told_beside_its_field(diving, app, typed: dict, field: str) -> None:
    before = raw_of(app)
    page = edit(diving, **typed)

    assert page.status == 400
    assert page.fault_of(field)
    assert "hanges[" not in page.words
    assert before == raw_of(app)


def test_a_change_that_a_later_one_does_not_fit_is_refused_with_that_ones_day(diving) -> None:
    edit(diving, **{"holds-from_day": "2027-05-20", "blocks-1-last_day": "2027-05-29", "bottom_m": "50"})
    page = edit(diving, **{"last_day": "2027-05-28", "blocks-1-last_day": "2027-05-28"})

    assert page.status == 400
    assert "oes not go with the change from 2027-05-20" in page.fault_of("holds-from_day")


def test_a_change_between_the_day_shown_and_the_day_chosen_that_sets_the_same_is_not_lost_in_silence(diving) -> None:
    edit(diving, **{"holds-from_day": "2027-05-20", "bottom_m": "50"})
    page = edit(diving, **{"holds-from_day": "2027-05-25", "bottom_m": "52"})
    other = edit(diving, bottom_m="53")

    assert "oes not go with the change from 2027-05-20" in page.fault_of("holds-from_day")
    assert "The change made for Thu 20 May 2027 sets the same and holds from then on." in other.words


def test_a_change_that_has_not_begun_can_be_taken_back_and_one_that_has_cannot(diving, app, clock) -> None:
    edit(diving, **{"FIM-aim_m": "47"})
    page = diving.press("/seasons/1/plan", f"/seasons/1/changes/{TOMORROW}/take-back")
    assert "The change is taken back" in page.words
    assert "changes" not in raw_of(app)

    edit(diving, **{"FIM-aim_m": "47"})
    page = diving.get("/seasons/1/plan")
    clock.wait(days=1)
    assert diving.send(page, "", {}, holding="/take-back").status == 400
    assert len(raw_of(app)["changes"]) == 1
    assert "Take this change back" not in diving.get("/seasons/1/plan").words


def test_own_rules_hold_from_tomorrow_too_and_a_correction_of_them_asks_first(diving, app) -> None:
    page = diving.fill("/rulebook/", {"rule:warm_up.dives": "1", "holds-why": "colder"})
    assert "The rules of this season are saved" in page.words
    assert raw_of(app)["changes"] == [{"from": TOMORROW, "set": {"rules": {"warm_up.dives": 1}}, "why": "colder"}]
    assert page.form("rule:warm_up.dives")["fields"]["rule:warm_up.dives"] == "1"

    asked = diving.fill("/rulebook/", {"rule:ladder.lowest_m": "20", "rule:start.most_beyond_best_m": "0",
                                       "holds-since": "start"}, holding="rule:warm_up.dives")  # fmt: skip
    assert asked.status == 200
    assert raw_of(app)["rules"]["ladder.lowest_m"] == 20


def test_a_correction_of_rules_that_changes_past_targets_is_saved_only_when_they_were_seen(diving, app) -> None:
    table = {"rule:spacing:0:min_days": "3", "rule:spacing:0:max_in_a_row": "1", "holds-since": "start"}
    page = diving.fill("/rulebook/", table)
    assert "Targets of days gone by would read differently" in page.words
    assert raw_of(app)["rules"] == {}

    diving.send(page, "/rulebook/", {"do": "rewrite"}, holding="csrf_token")
    assert "spacing" in raw_of(app)["rules"]


def test_a_bad_day_for_own_rules_is_told_beside_it(diving) -> None:
    page = diving.fill("/rulebook/", {"rule:warm_up.dives": "1", "holds-from_day": "soon"})

    assert page.status == 400
    assert page.fault_of("holds-from_day")


def test_body_and_suit_hold_for_the_whole_season_and_the_page_says_so(diving, app) -> None:
    edit(diving, **{"FIM-aim_m": "47"})
    page = diving.fill("/diver/", {"body_kg": "74"})

    assert "hold for the whole season: they change no target" in page.words
    assert raw_of(app)["diver"] == {"body_kg": 74}
    assert len(raw_of(app)["changes"]) == 1


def test_the_preview_of_a_change_shows_both_plans_side_by_side(diving) -> None:
    page = edit(diving, do="preview", **{"FIM-step_m": "1"})

    assert "Plan as saved" in page.words
    assert re.search(r"Deep days \d+ \d+ FIM: last target [\d.]+ m [\d.]+ m FIM: floor 44 m .* FIM: aim", page.words)


def test_after_a_week_without_a_dive_the_preview_shows_the_plan_of_then_beside_that_of_today(diving, clock) -> None:
    clock.wait(days=11)
    page = edit(diving, do="preview")

    assert "Plan on Fri 7 May" in page.words
    assert "Plan today" in page.words


def test_a_preview_of_an_untouched_form_right_after_a_dive_compares_nothing(diving, clock) -> None:
    page = edit(diving, do="preview")

    assert "Plan as saved" not in page.words


def test_the_seasons_page_shows_each_season_as_it_is_today(diving, clock) -> None:
    edit(diving, site_name="Holm Wall")
    clock.wait(days=1)

    assert "Holm Wall" in diving.get("/seasons/").words


def test_readings_are_those_of_the_season_as_it_is_today(diving, clock) -> None:
    edit(diving, site_name="Holm Lake", water="fresh")
    before = diving.get("/diver/").html.split('id="readings"')[1]
    clock.wait(days=1)

    assert before != diving.get("/diver/").html.split('id="readings"')[1]
