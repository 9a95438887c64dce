"""The demo: an invented diver in mid-season, whose plan has visibly moved."""

from itertools import pairwise

import pytest

from webapp.actions import seasons, sites
from webapp.cli import demo

TODAY = "2027-05-10"


@pytest.fixture
def plan(app, clock) -> dict:
    assert demo.make_if_missing(app, clock())
    current = seasons.current(1, TODAY)
    assert current is not None
    return current.plan


def test_the_diver_of_the_demo_can_sign_in(app, clock, person) -> None:
    demo.make_if_missing(app, clock())

    assert person(app).sign_in(demo.NAME, demo.PASSWORD).status == 200


def test_today_is_a_deep_day_in_the_middle_of_the_season(plan) -> None:
    days = [day["date"] for day in plan["days"]]
    today = plan["days"][days.index(TODAY)]

    assert today["kind"] == "deep"
    assert plan["next"]["date"] == TODAY
    assert 10 < days.index(TODAY) < len(days) - 10


def test_clean_hard_and_turned_dives_have_moved_the_targets_up_and_down(plan) -> None:
    deep = [done for day in plan["days"] for done in day["done"] if done["role"] == "deep"]
    targets = [done["target_m"] for done in deep]

    assert {done["verdict"] for done in deep} == {"clean", "hard", "turned"}
    assert any(after > before for before, after in pairwise(targets))
    assert any(after < before for before, after in pairwise(targets))


def test_two_disciplines_are_planned_and_the_goals_are_told_honestly(plan) -> None:
    goals = [goal for one in plan["disciplines"].values() for goal in one["goals"].values()]

    assert len(plan["disciplines"]) == 2
    assert any(goal["on"] for goal in goals)
    assert any(goal["on"] is None for goal in goals)


def test_a_second_start_leaves_the_demo_as_it_is(app, clock, person) -> None:
    demo.make_if_missing(app, clock())

    assert not demo.make_if_missing(app, clock())


def test_the_demo_never_moves_into_a_file_where_somebody_lives(diver, app, clock) -> None:
    assert not demo.make_if_missing(app, clock())
    assert "No season yet" in diver.get("/seasons/").words


def test_the_demo_shows_blocks_of_its_own_two_speeds_a_focus_and_a_change_with_its_reason(app, clock) -> None:
    assert demo.make_if_missing(app, clock())
    raw = seasons.get_season(1, 1).raw
    drills = [drill for block in raw["blocks"] for drill in block["drills"]]

    assert len(raw["blocks"]) == 2
    assert all(level["repeats_below_best"] < level["repeats"] for level in raw["disciplines"])
    assert any(drill.get("share") for drill in drills)
    assert any(drill.get("depth_m") for drill in drills)
    assert all(drill["focus"] for drill in drills)
    assert raw["changes"][0]["why"]
    assert raw["changes"][0]["from"] < TODAY


def test_the_site_of_the_demo_has_an_emergency_plan_whose_numbers_nobody_has(app, clock) -> None:
    """+44 1632 960000 to 960999 are kept free for stories by the British regulator (from memory)."""
    demo.make_if_missing(app, clock())
    (site,) = sites.listed(1).values()

    assert all(site[name].startswith("+44 1632 960") for name in ("emergency_phone", "hospital_phone", "chamber_phone"))
    assert {"longitude", "radio_channel", "oxygen_where", "meeting_point"} <= set(site)
