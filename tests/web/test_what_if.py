"""The outlook on shore: whether the days are enough, and what if; saved as a change with its reason."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from support.phones import DIVE, Phone

from webapp.actions import seasons, sync

TODAY, TOMORROW = "2027-05-10", "2027-05-11"
PATH = "/outlook/"


def raw_of(app: Flask) -> dict[str, Any]:
    with app.app_context():
        return dict(seasons.get_season(1, 1).raw)


def asked(diver: Any, do: str = "ask", **typed: str) -> Any:
    return diver.fill(PATH, {"do": do, **typed}, holding="lost_from")


def test_the_cautions_stand_before_the_first_number_and_nothing_says_go(diving: Any) -> None:
    page = diving.get(PATH)
    begin = page.words.index("says nothing about how a dive goes")
    assert begin < page.words.index("Are the days enough?") < page.words.index("in order of effect")
    body = page.words.split("Are the days enough?")[1].split("A plan is not permission")[0].lower()
    assert [word for word in (" safe", "ready to dive", " go ", "blackout") if word in body] == []


def test_it_tells_the_date_of_each_goal_and_what_each_change_costs_without_a_percentage_of_three_dives(
    diving: Any,
) -> None:
    page = diving.get(PATH)
    assert "FIM aim of 48 m: the plan" in page.words
    assert "One clean dive fewer for each depth Less time at each depth" in page.words
    assert "No percentage: the log has too few dives near your best" in page.words
    assert "%" not in page.words.split("Are the days enough?")[1]


def test_lost_days_are_shown_as_two_plans_and_nothing_is_saved(diving: Any, app: Flask) -> None:
    before = raw_of(app)
    page = asked(diving, lost_from="2027-05-14", lost_to="2027-05-24")
    assert page.status == 200
    assert "Plan as saved and Plan as asked" in page.words
    assert page.words.index("Forecast as saved and Forecast as asked") > page.words.index("Deep days")
    assert "FIM aim 48 m" in page.words.split("Forecast as saved and")[1].split("Are the days enough?")[0]
    assert page.form("lost_from")["fields"]["lost_from"] == "2027-05-14"
    assert raw_of(app) == before


def test_it_is_saved_as_a_change_from_a_day_on_with_its_reason(diving: Any, app: Flask) -> None:
    page = asked(
        diving, "apply", lost_from="2027-05-18", lost_to="2027-05-19", days_on="3", goal_of="FIM", goal="aim_m",
        goal_m="46", why="storm",
    )  # fmt: skip
    assert "storm" in page.words
    (change,) = raw_of(app)["changes"]
    assert (change["from"], change["why"]) == (TOMORROW, "storm")
    assert set(change["set"]) == {"closed_days", "blocks", "disciplines"}
    assert set(change["set"]["closed_days"]) >= {"2027-05-12", "2027-05-13", "2027-05-18", "2027-05-19"}
    assert {block["days_on"] for block in change["set"]["blocks"]} == {3}
    assert {block["days_off"] for block in change["set"]["blocks"]} == {1}
    assert change["set"]["disciplines"][0]["goals"] == {"floor_m": 44, "aim_m": 46, "dream_m": 52}


def test_what_is_saved_is_what_was_shown(diving: Any, app: Flask) -> None:
    shown = asked(diving, days_off="2", why="knees")
    form = shown.form("lost_from")
    assert ("do", "apply") in {(one.get("name"), one.get("value")) for one in form["buttons"]}
    page = diving.post(PATH, {**form["fields"], "do": "apply"}, follow_redirects=True)
    assert "From Tue 11 May 2027: blocks. knees" in page.words
    (change,) = raw_of(app)["changes"]
    assert {block["days_off"] for block in change["set"]["blocks"]} == {2}


def test_before_the_season_begins_it_is_set_from_the_start(planner_of_may: Any, app: Flask, clock: Any) -> None:
    clock.put_back(days=20)
    planner_of_may.sign_in()
    assert planner_of_may.get(PATH).form("lost_from")["fields"]["from_day"] == ""
    asked(planner_of_may, "apply", days_off="2")
    assert "changes" not in raw_of(app)
    assert {block["days_off"] for block in raw_of(app)["blocks"]} == {2}


@pytest.mark.parametrize("do", ["ask", "apply"])
def test_every_fault_stands_beside_its_field_and_nothing_typed_is_lost(diving: Any, app: Flask, do: str) -> None:
    before = raw_of(app)
    typed = {
        "lost_from": "2027-05-20", "lost_to": "2027-05-14", "days_on": "lots", "days_off": "99", "goal_of": "FIM",
        "goal": "aim_m", "goal_m": "60", "from_day": "2027-05-09", "why": "a cold",
    }  # fmt: skip
    page = asked(diving, do, **typed)
    assert page.status == 400
    assert page.fault_of("lost_to") == "Is before the first lost day."
    assert page.fault_of("days_on").startswith("Must be a whole number from 1 to 60")
    assert page.fault_of("days_off").startswith("Must be a whole number from 0 to 60")
    assert page.fault_of("goal_m").startswith("Does not go with the goal dream")
    assert page.fault_of("from_day") == "Must be after today: what was planned until now stays."
    assert {name: page.form("lost_from")["fields"][name] for name in typed} == typed
    assert raw_of(app) == before


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"lost_from": "2027-05-20"}, "lost_to", "Is missing"),
        ({"lost_from": "2027-05-12", "lost_to": "2027-05-14", "from_day": "2027-05-13"}, "lost_from", "Is before"),
        ({"lost_from": "2027-05-28", "lost_to": "2027-06-14"}, "lost_to", "Is after the last day of the season"),
        ({"goal_of": "CNF", "goal_m": "40"}, "goal_of", "Must be one of FIM"),
        ({"days_on": "3", "from_day": ""}, "from_day", "Is missing"),
        ({"days_on": "3", "from_day": "2027-07-01"}, "from_day", "Is after the last day"),
    ],
)
def test_a_refusal_names_the_field(diving: Any, typed: dict[str, str], field: str, says: str) -> None:
    page = asked(diving, **typed)
    assert page.status == 400
    assert page.fault_of(field).startswith(says)


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"lost_from": "soon", "lost_to": "later"}, {"lost_from", "lost_to"}),
        ({"lost_from": "2027-05-20", "lost_to": "2029-05-20"}, {"lost_to"}),
        ({"goal_m": "-3", "goal": "aim_m", "from_day": "2027-05-01"}, {"goal_m", "from_day"}),
        ({"days_on": "3"}, set()),
        ({}, set()),
    ],
)
def test_a_reason_that_is_too_long_is_told_at_once_with_whatever_else_is_wrong(
    diving: Any, typed: dict[str, str], wrong: set[str]
) -> None:
    typed = {**typed, "why": "storm " * 400}
    page = asked(diving, **typed)
    assert page.status == 400
    assert page.fault_of("why") == "Must be text of at most 2000 characters."
    assert {name for name in typed if page.fault_of(name)} == {*wrong, "why"}
    assert {name: page.form("lost_from")["fields"][name] for name in typed} == typed


def test_an_empty_form_and_a_dead_token_change_nothing(diving: Any, app: Flask) -> None:
    before = raw_of(app)
    assert "Nothing else is asked for" in asked(diving).words
    assert "The plan has this already" in asked(diving, days_on="2").words
    page = asked(diving, "apply", days_on="3", csrf_token="stale")
    assert page.status == 400
    assert page.form("lost_from")["fields"]["days_on"] == "3"
    assert raw_of(app) == before


def test_while_a_doctors_clearance_is_missing_no_depth_is_shown(diving: Any, clock: Any) -> None:
    assert "in order of effect" in diving.get(PATH).words
    phone = Phone()
    phone.put(fields={**DIVE, "date": TODAY, "target_m": 38, "reached_m": 38, "signs": ["blackout"]})
    phone.take(sync.sync(1, phone.request(today=TODAY), clock()))
    page = diving.get(PATH)
    assert "No depth is forecast while a doctor's clearance is missing." in page.words
    assert "in order of effect" not in page.words
    page = asked(diving, days_off="2")
    assert "No depth is forecast" in page.words.split("Both plans")[1]
    assert "last target" not in page.words
    assert "not reached" not in page.words


def test_without_a_season_the_page_leads_to_setting_one_up(diver: Any) -> None:
    page = diver.get(PATH)
    assert "No active season" in page.words
    assert "/seasons/new" in page.links
    assert diver.post(PATH, page.form("csrf_token")["fields"] if page.forms else {}).status in (302, 400)
