"""Surface intervals: the named rules, each shown, the longest first."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import depths, sheet_of
from support.story import season

from webapp.planner.reader.interval import needed, pause_after

SHEET = sheet_of(season())
TABLE = SHEET["interval"]


def minutes(reached_m: float, dive_s: int) -> dict[str, float]:
    return {pause["name"]: pause["seconds"] / 60 for pause in needed(TABLE, reached_m, dive_s)}


@pytest.mark.parametrize(
    ("depth_m", "dive_s", "double", "by_pressure", "by_depth"),
    [
        (30, 60, 2.0, 4.03, 6.0),
        (40, 80, 2.7, 6.71, 8.0),
        (60, 120, 4.0, 14.09, 12.0),
        (80, 160, 5.3, 24.15, 16.0),
        (100, 210, 7.0, 38.73, 20.0),
    ],
)
def test_the_rules_give_the_worked_minutes(
    depth_m: float, dive_s: int, double: float, by_pressure: float, by_depth: float
) -> None:
    """Worked by hand from the rules as they circulate, at 1025 kg/m³.

    Source (seen) of 2 x dive time: quoted and questioned in Mulder et al., Diving Hyperb Med 2023;53:16-23, abstract.
    Dive time x bar and depth / 5: common practice, no source.
    """
    found = minutes(depth_m, dive_s)
    assert double == pytest.approx(found["2 x dive time"], abs=0.05)
    assert by_pressure == pytest.approx(found["dive time x absolute pressure"], rel=0.01)
    assert by_depth == pytest.approx(found["one minute for each 5 m"], abs=0.05)


def test_after_sixty_metres_a_floor_of_fifteen_minutes_holds() -> None:
    """Common practice, no source; a school's article gives 10 to 15 minutes after 60 to 70 m."""
    assert minutes(60, 10)["minimum after 60 m or deeper"] == 15
    assert "minimum after 60 m or deeper" not in minutes(59, 10)


def test_the_divers_own_pause_can_only_lengthen() -> None:
    table = sheet_of(season(rules={"interval.own_minutes": 45}))["interval"]
    assert needed(table, 40, 80)[0] == {"name": "your own shortest pause", "seconds": 2700}
    assert needed(table, 100, 210)[1]["seconds"] < 2700 == needed(table, 100, 210)[0]["seconds"]


@given(depths(1, 150), depths(1, 150), st.integers(1, 400), st.integers(1, 400))
def test_deeper_or_longer_never_asks_for_less(a_m: float, b_m: float, a_s: int, b_s: int) -> None:
    less, more = needed(TABLE, min(a_m, b_m), min(a_s, b_s)), needed(TABLE, max(a_m, b_m), max(a_s, b_s))
    assert less[0]["seconds"] <= more[0]["seconds"]


def day_of(*surfaced_min: int, reached_m: float = 45) -> list[dict[str, float]]:
    return [{"reached_m": reached_m, "dive_s": 90, "surfaced_s": 60 * minute} for minute in surfaced_min]


def test_the_third_dive_to_40_m_or_deeper_within_an_hour_makes_the_pause_longer_and_says_so() -> None:
    """Own choice, no source; that repetition itself harms: Tetzlaff et al., IJSPP 2017;12:268-271, abstract (seen)."""
    plain, longer = pause_after(SHEET, day_of(0, 30)), pause_after(SHEET, day_of(0, 30, 60))
    assert plain["longer"] is None
    assert pause_after(SHEET, day_of(0, 30, 60, reached_m=40))["longer"] == longer["longer"]
    assert longer["longer"] == "third dive to 40 m or deeper within 60 min: a longer pause"
    assert longer["seconds"] >= 1.5 * plain["seconds"]


def test_a_shallow_dive_in_between_does_not_end_the_pause_of_the_deep_one() -> None:
    """Common practice, no source."""
    deep, drill = {"reached_m": 44, "dive_s": 98, "surfaced_s": 0}, {"reached_m": 12, "dive_s": 40, "surfaced_s": 120}
    asked_s = pause_after(SHEET, [deep])["seconds"]
    pause = pause_after(SHEET, [deep, drill])
    assert pause["seconds"] == asked_s - 120
    assert pause["longer"] == "the pause after the dive to 44 m is still running"
    assert pause["rules"] == needed(TABLE, 12, 40)
    later = pause_after(SHEET, [deep, {**drill, "surfaced_s": asked_s}])
    assert later == {"seconds": needed(TABLE, 12, 40)[0]["seconds"], "rules": pause["rules"], "longer": None}


@given(depths(5, 90), depths(5, 90), st.integers(20, 240), st.integers(0, 3600))
def test_one_dive_more_never_lets_the_next_one_come_sooner(a_m: float, b_m: float, dive_s: int, later_s: int) -> None:
    first, then = (
        {"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": at} for reached_m, at in ((a_m, 0), (b_m, later_s))
    )
    assert later_s + pause_after(SHEET, [first, then])["seconds"] >= pause_after(SHEET, [first])["seconds"]


def test_dives_an_hour_ago_or_above_40_m_do_not_count_as_repeated() -> None:
    assert pause_after(SHEET, day_of(0, 61, 122))["longer"] is None
    assert pause_after(SHEET, day_of(0, 10, 20, reached_m=39))["longer"] is None
    assert pause_after(SHEET, []) is None
