"""A season's goals where the diver decides: are the days enough at set-up, and what a saved change did to them."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from support.phones import DIVE, Phone
from support.typed import SEASON

from webapp.actions import season_effects, seasons, sync

TODAY, TOMORROW = "2027-05-10", "2027-05-11"
NEW, OUTLOOK, PLAN = "/seasons/new/all", "/outlook/", "/seasons/1/plan"
CAUTIONS = ("nothing about the risk of one", "must never push a dive")
NEAR = {"FIM-floor_m": "41", "FIM-aim_m": "42"}  # a goal that the days of this season are enough for
FORBIDDEN = (" safe", "ready to dive", " go ", "blackout", "you can ")


def raw_of(app: Flask) -> dict[str, Any]:
    with app.app_context():
        return dict(seasons.get_season(1, 1).raw)


def asked(diver: Any, do: str = "window", path: str = NEW, **typed: str) -> Any:
    return diver.fill(path, {**(SEASON if path == NEW else {}), "do": do, **typed}, holding="name")


def part(page: Any, begin: str, end: str) -> str:
    """The words of a page between two others."""
    assert begin in page.words, page.words
    return str(page.words.split(begin)[1].split(end)[0])


def enough(page: Any) -> str:
    return part(page, "Are the days enough?", "Day by day")


def hurt(clock: Any, sign: str = "blackout") -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": TODAY, "target_m": 38, "reached_m": 38, "signs": [sign]})
    phone.take(sync.sync(1, phone.request(today=TODAY), clock()))


def test_the_plan_of_a_new_season_tells_the_dates_of_its_goals_and_whether_its_days_are_enough(diver: Any) -> None:
    page = asked(diver, "preview", **NEAR)
    told = enough(page)
    (on,) = re.findall(r"FIM aim of 42 m: the plan reaches it on (\d+ May) if every dive is clean\.", told)
    assert f'<time datetime="2027-05-{int(on.split()[0]):02}">' in page.html
    assert re.search(r"days? with FIM in the plan comes? after it", told, re.IGNORECASE)
    assert told.index(CAUTIONS[0]) < told.index(CAUTIONS[1]) < told.index("FIM aim")
    assert "in order of effect" not in told
    short = enough(asked(diver, "preview"))
    assert "FIM aim of 48 m: the plan does not reach it, even if every dive is clean." in short


def test_on_request_the_changes_that_reach_the_goal_stand_beside_the_plan_with_their_cost_and_in_words(
    diver: Any,
) -> None:
    page = asked(diver, **NEAR)
    told = enough(page)
    assert "No percentage: the log has too few dives near your best" in told
    assert "%" not in told
    for word in (*CAUTIONS, "None of these changes is advice", "more time at each depth.", "FIM dream 52 m"):
        assert word in told, word
    assert told.index(CAUTIONS[1]) < told.index("FIM aim")
    assert told.index("in order of effect") < told.index("One dive day more") < told.index("One clean dive more")
    assert [word for word in FORBIDDEN if word in told.lower()] == []
    assert page.form("name")["fields"]["FIM-aim_m"] == "42"
    near = enough(asked(diver))
    assert "48 m: the plan does not reach it, even if every dive is clean. If every dive is clean, it is" in near
    assert "it is reached with: 7 more days at the end." in near
    assert "Without effect on it: Step 0.5 m longer; " in near
    far = enough(asked(diver, **{"FIM-dream_m": "", "FIM-aim_m": "53", "FIM-step_m": "0,5"}))
    assert "None of the changes below reaches it" in far
    assert "in order of effect" not in far


def test_a_listed_change_is_filled_into_the_new_season_and_nothing_is_saved(diver: Any, app: Flask) -> None:
    shown = asked(diver, **{"FIM-aim_m": "46"})
    buttons = [given for tag, given in shown.tags if tag == "button" and given.get("name") == "fill"]
    assert [(one["value"], one["form"]) for one in buttons] == [
        (key, "whole") for key in ("on_more", "repeats_fewer", "week")
    ]
    page = asked(diver, "", fill="off_more")
    fields = page.form("name")["fields"]
    assert [fields[f"blocks-{at}-days_off"] for at in (0, 1)] == ["2", "2"]
    assert (fields["name"], fields["FIM-aim_m"], fields["FIM-step_m"]) == ("May at Holm", "48", "")
    assert "One day off more: filled in below, not saved." in page.words
    assert page.words.count("Filled in, not saved yet.") == 2
    with app.app_context():
        assert seasons.list_seasons(1) == []
    gone = asked(diver, "", fill="sail")
    assert "This change cannot be filled in" in gone.words
    assert gone.form("name")["fields"]["blocks-0-days_off"] == "1"


def test_a_faulty_new_season_shows_its_faults_and_no_comparison_and_loses_nothing(diver: Any) -> None:
    for do, more in (("window", {}), ("", {"fill": "off_more"})):
        page = asked(diver, do, **{"FIM-aim_m": "deep", "bottom_m": "x", "blocks-0-days_on": "99", **more})
        assert page.status == 400
        assert [bool(page.fault_of(name)) for name in ("FIM-aim_m", "bottom_m", "blocks-0-days_on")] == [True] * 3
        assert page.form("name")["fields"]["FIM-aim_m"] == "deep"
        assert "Are the days enough?" not in page.words


def test_after_a_change_is_saved_the_page_tells_its_goals_before_and_after_from_both_plans(
    diving: Any, app: Flask
) -> None:
    before = diving.get(PLAN)
    page = asked(diving, "save", "/seasons/1", **{"FIM-step_m": "1"})
    told = part(page, "What this change does to the goals", "Compare it with other changes")
    after = diving.get(PLAN)
    for goal, depth in (("floor", 44), ("aim", 48), ("dream", 52)):
        row = f"FIM {goal} {depth} m {day_of(before, goal, depth)} {day_of(after, goal, depth)}"
        assert (row in told) is (goal == "floor")
    assert "The other goals stay where they were." in told
    assert [word for word in CAUTIONS if word not in told] == []
    assert OUTLOOK in page.links
    assert "What this change does" not in after.words


def day_of(page: Any, goal: str, depth: int) -> str:
    """The day on which the plan of a page has a goal, in the words of the plan's own list."""
    found = re.search(rf"{depth} m \({goal}\) (?:planned for (\d+ \w+)|is not reached)", page.words)
    assert found, page.words
    return found[1] or "not reached"


def test_each_way_to_change_a_season_tells_what_it_did_to_the_goals(diving: Any, app: Flask) -> None:
    same = "This change moves no goal's earliest date and no forecast."
    lost = {"do": "apply", "lost_from": "2027-05-14", "lost_to": "2027-05-20"}
    page = diving.fill(OUTLOOK, lost, holding="lost_from")
    assert "FIM floor 44 m" in part(page, "What this change does", "Compare it")
    page = diving.press(PLAN, f"/seasons/1/changes/{TOMORROW}/take-back")
    assert "FIM floor 44 m" in part(page, "What this change does", "Compare it")
    page = diving.fill("/rulebook/", {"rule:ladder.beyond_best_repeats": "5"})
    assert "FIM floor 44 m" in part(page, "What this change does", "Compare it")
    page = asked(diving, "save", "/seasons/1", bottom_m="56")
    assert same in page.words
    assert "What this change does" not in page.words
    page = asked(diving, "save", "/seasons/1", name="May, again")
    assert same not in page.words


def test_with_one_goal_moved_the_others_are_named_as_they_were_and_an_unread_plan_does_not_stop_a_save(
    diving: Any, app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = asked(diving, "save", "/seasons/1", **{"FIM-aim_m": "47"})
    told = part(page, "What this change does", "Compare it")
    assert "FIM aim 48 m, " in told
    assert "47 m, " in told
    assert "The other goals stay where they were." in told
    assert "FIM floor" not in told
    with app.app_context():
        raw = raw_of(app)
        assert season_effects.effect_of(1, {**raw, "site": None}, raw, TODAY) is None


def test_a_listed_change_opens_the_form_with_its_values_marked_and_its_plan_beside_the_saved_one(
    diving: Any, app: Flask
) -> None:
    before = raw_of(app)
    links = [link for link in diving.get(OUTLOOK).links if "change=" in link]
    assert "/seasons/1?change=off_more#main" in links
    assert len(links) == len(set(links)) == 7
    page = diving.get("/seasons/1?change=step_longer")
    fields = page.form("name")["fields"]
    assert page.status == 200
    assert "Step 0.5 m longer: filled in below, not saved. Each new depth is a bigger change" in page.words
    assert "Say why at the end of the form." in page.words
    assert (fields["FIM-step_m"], fields["FIM-repeats"]) == ("2.5", "")
    assert (fields["holds-since"], fields["holds-from_day"], fields["holds-why"]) == ("day", TOMORROW, "")
    assert page.words.count("Filled in, not saved yet.") == 1
    assert "Plan as saved and Plan as typed" in page.words
    assert raw_of(app) == before
    saved = diving.send(page, "/seasons/1", {"do": "save", "holds-why": "calm water"}, holding="name")
    assert "FIM floor 44 m" in part(saved, "What this change does", "Compare it")
    (change,) = raw_of(app)["changes"]
    assert (change["from"], change["why"], set(change["set"])) == (TOMORROW, "calm water", {"disciplines"})
    assert change["set"]["disciplines"][0]["step_m"] == 2.5


def test_every_listed_change_can_be_filled_in_and_saved_as_it_was_compared(diving: Any, app: Flask) -> None:
    for link in [link for link in diving.get(OUTLOOK).links if "change=" in link]:
        page = diving.get(link.partition("#")[0])
        assert page.status == 200, page.words
        assert "Filled in, not saved yet." in page.words, link
        assert "Plan as saved and Plan as typed" in page.words, link
    with app.app_context():
        wanted = season_effects.filled_in(raw_of(app), "week", TODAY)
    page = diving.get("/seasons/1?change=week")
    diving.send(page, "/seasons/1", {"do": "save"}, holding="name")
    assert raw_of(app)["changes"][0]["set"]["last_day"] == wanted.raw["last_day"] == "2027-06-06"


@pytest.mark.parametrize("key", ["sail", "later", "<b>", "order"])
def test_a_link_to_a_change_that_cannot_be_made_now_fills_in_nothing_and_says_so(diving: Any, key: str) -> None:
    page = diving.get("/seasons/1", query_string={"change": key})
    assert page.status == 200
    assert "This change cannot be filled in" in page.words
    assert "Filled in, not saved yet." not in page.words
    assert page.form("name")["fields"] == {
        **diving.get("/seasons/1").form("name")["fields"],
        "csrf_token": page.form("name")["fields"]["csrf_token"],
    }


def test_before_its_first_day_a_season_is_filled_in_from_the_start(planner_of_may: Any, clock: Any, app: Flask) -> None:
    clock.put_back(days=20)
    planner_of_may.sign_in()
    page = planner_of_may.get("/seasons/1?change=later")
    fields = page.form("name")["fields"]
    assert (fields["first_day"], fields["last_day"], fields["holds-since"]) == ("2027-05-10", "2027-06-06", "start")
    assert fields["FIM-comfortable_on"] == "2027-05-09"
    planner_of_may.send(page, "/seasons/1", {"do": "save"}, holding="name")
    assert raw_of(app)["first_day"] == "2027-05-10"


def test_while_a_doctors_clearance_is_missing_no_date_of_a_goal_is_shown_anywhere(diving: Any, clock: Any) -> None:
    hurt(clock)
    preview = asked(diving, "preview", "/seasons/1")
    assert "Are the days enough?" not in preview.words
    assert "last target" not in asked(diving, "preview", "/seasons/1", **{"FIM-step_m": "1"}).words
    window = asked(diving, "window", "/seasons/1")
    assert "in order of effect" not in window.words
    saved = asked(diving, "save", "/seasons/1", **{"FIM-step_m": "1"})
    assert "No depth is forecast while a doctor's clearance is missing." in saved.words
    assert "FIM aim 48 m" not in saved.words
    assert "Compare it with other changes" not in saved.words


def test_after_the_last_day_nothing_is_compared_and_a_change_says_that_no_day_is_left(diving: Any, clock: Any) -> None:
    clock.wait(days=40)
    diving.sign_in()
    page = diving.get(OUTLOOK)
    assert "No dive day is left in this season" in page.words
    assert "Set up the next season" in page.words
    assert "What if" not in page.words
    page = asked(diving, "preview", "/seasons/1")
    assert "Are the days enough?" not in page.words
