"""Facts of the trade that a plan has to agree with. All of them: common practice, no source."""

from __future__ import annotations

import pytest
from support.seasons import day
from support.story import NO_SPACING, deeps, plan, season

from webapp.planner.sheet import expected_s
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook

BOOK: Rulebook = read_rulebook()
LEVEL = {"best_m": 75, "start_m": 70, "step_m": 2.5, "repeats": 2, "goals": {"floor_m": 80, "aim_m": 90}}


def seven_weeks(break_days: int, rules: dict, block_days: int = 21) -> dict:
    """Three weeks, a break, three weeks: two days on, one off."""
    last = day(2 * block_days + break_days - 1)
    site = {"name": "Invented Bay", "bottom_m": 120}
    return season(level=LEVEL, last_day=last, block_days=block_days, break_days=break_days, site=site, rules=rules)


@pytest.mark.parametrize("break_days", [5, 6, 7])
def test_three_weeks_of_two_days_on_and_one_off_hold_fourteen_dive_days(break_days: int) -> None:
    """Common practice, no source."""
    found = plan(seven_weeks(break_days, NO_SPACING))
    for block in (1, 2):
        assert sum(one["kind"] == "deep" for one in found["days"] if one["block"] == block) == 14
    assert break_days == sum(one["kind"] == "break" for one in found["days"])
    assert len(found["days"]) <= 49


def test_fourteen_deep_dives_from_70_m_in_steps_of_two_and_a_half_each_twice() -> None:
    """Common practice, no source: 70, 70, 72.5, 72.5 … 85, 85; 80 m on the ninth."""
    found = plan(seven_weeks(7, NO_SPACING))
    first_block = [
        dive["target_m"]
        for one in found["days"]
        if one["block"] == 1
        for dive in one["dives"]
        if dive["role"] == "deep"
    ]

    assert first_block == [70, 70, 72.5, 72.5, 75, 75, 77.5, 77.5, 80, 80, 82.5, 82.5, 85, 85]
    assert first_block.index(80) + 1 == 9


def test_the_plan_says_on_which_day_80_m_is_reached_and_that_90_m_is_not() -> None:
    """Common practice, no source: one block from 70 m does not reach an aim of 90 m."""
    one_block = {**seven_weeks(7, NO_SPACING), "last_day": day(20)}
    goals = plan(one_block)["disciplines"]["FIM"]["goals"]

    assert day(12) == goals["floor_m"]["on"]  # the ninth dive day: 2 on 1 off, day 12 counted from 0
    assert goals["aim_m"]["on"] is None
    assert goals["aim_m"]["says"] == "90 m (aim) is not reached in this season: the plan reaches 85 m"


def test_with_the_books_spacing_the_same_season_thins_out_as_it_gets_deep_and_drills_fill_the_freed_days() -> None:
    """Common practice, no source."""
    free, spaced = plan(seven_weeks(7, NO_SPACING)), plan(seven_weeks(7, {}))
    easy = [one for one in spaced["days"] if one["kind"] == "easy"]

    assert len(deeps(spaced)) < len(deeps(free))
    assert len(easy) >= 5
    assert all(one["dives"] and {"drill"} == {dive["role"] for dive in one["dives"]} for one in easy)
    assert spaced["disciplines"]["FIM"]["reaches_m"] < free["disciplines"]["FIM"]["reaches_m"]
    first_easy = min(one["date"] for one in easy)
    thick = deeps({"days": [one for one in spaced["days"] if one["date"] < first_easy]})
    assert thick == [70, 70, 72.5, 72.5, 75, 75, 77.5]  # the first beyond 75 m needs a day between


@pytest.mark.parametrize("depth_m", [60, 70, 80, 90, 100])
def test_a_deep_free_immersion_dive_runs_at_about_one_metre_a_second(depth_m: float) -> None:
    """Common practice, no source; 121 m in 4:13 is 0.957 m/s (a page on free immersion, seen)."""
    assert 2 * depth_m / 1.0 == pytest.approx(expected_s("FIM", depth_m, BOOK), rel=0.10)


def test_constant_weight_is_planned_near_the_speed_measured_on_deep_dives() -> None:
    """Source (seen): Mulder et al., Front Physiol 2021;12:651128, abstract: 73 ± 12 m in 150 ± 27 s."""
    assert pytest.approx(expected_s("CWT", 73, BOOK), abs=27) == 150


@pytest.mark.parametrize(
    ("away_days", "share"),
    [
        (0, 1.0),
        (21, 1.0),
        (22, 0.85),
        (42, 0.85),
        (43, 0.75),
        (84, 0.75),
        (85, 0.60),
        (365, 0.60),
        (366, 0.45),
        (2000, 0.45),
    ],
)
def test_time_away_lowers_the_start(away_days: int, share: float) -> None:
    """Common practice, no source: the table of time away, to the day; rounded down to the step.

    Within the first row the run-in after five days without a deep dive begins one rung shallower.
    """
    level = {"start_m": None, "best_m": 60, "comfortable_m": 50, "comfortable_on": day(-away_days), "step_m": 1}
    start_m = plan(season(level=level))["disciplines"]["FIM"]["start_m"]
    assert (49 if share == 1 and away_days >= 5 else int(50 * share + 1e-9)) == start_m


def test_the_start_says_when_the_site_and_not_the_time_away_decided_it() -> None:
    level = {"start_m": None, "best_m": 60, "comfortable_m": 50, "comfortable_on": day(-3), "step_m": 1}
    found = plan(season(level=level, site={"bottom_m": 40}))
    assert found["next"]["why"] == "start of the ladder: 39 m, as deep as the ladder goes at this site"
