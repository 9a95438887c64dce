"""Surface intervals: the named rules, each shown, the longest first."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import depths, sheet_of
from support.story import season

from webapp.planner.reader.interval import PauseDay, needed, pause_after, short_pause

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


def every(pause_min: float, count: int, reached_m: float, dive_s: int = 80) -> list[dict[str, float]]:
    step_s = 60 * pause_min
    return [{"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": step_s * index} for index in range(count)]


def times_as_long(day: list[dict[str, float]]) -> float:
    asked_s = needed(TABLE, day[-1]["reached_m"], day[-1]["dive_s"])[0]["seconds"]
    return float(pause_after(SHEET, day)["seconds"] / asked_s)


def test_thirty_dives_to_35_m_in_two_hours_make_the_pause_longer_and_say_so() -> None:
    """Own choice, no source; that many medium dives harm: Bove's page on the Tuamotu divers (seen)."""
    day = every(4, 30, reached_m=35)
    assert pause_after(SHEET, day)["longer"] == "30. dive to 20 m or deeper within 120 min: a longer pause"
    assert times_as_long(day[:9]) == 1
    assert times_as_long(day[:10]) == times_as_long(day[:19]) == pytest.approx(1.5, abs=0.01)
    assert times_as_long(day[:20]) == pytest.approx(2.25, abs=0.01)
    assert times_as_long(every(4, 30, reached_m=19)) == 1
    assert times_as_long(every(14, 10, reached_m=35)) == 1


def test_repetition_makes_a_pause_at_most_so_many_times_as_long() -> None:
    """Own choice, no source."""
    assert times_as_long(every(4, 6, reached_m=45)) == pytest.approx(2.25, abs=0.01)
    assert times_as_long(every(4, 12, reached_m=45)) == times_as_long(day := every(4, 9, reached_m=45))
    assert times_as_long(day) == pytest.approx(3, abs=0.01)
    sheet = sheet_of(season(rules={"repetition.most_times": 4}))
    assert pause_after(sheet, every(4, 12, reached_m=45))["seconds"] > pause_after(SHEET, day)["seconds"]


def test_the_most_never_takes_away_from_a_factor_that_a_diver_made_stricter() -> None:
    sheet = sheet_of(season(rules={"repetition.factor": 5}))
    asked_s = needed(TABLE, 45, 80)[0]["seconds"]
    assert pause_after(sheet, every(4, 3, reached_m=45))["seconds"] == 5 * asked_s


def test_a_sheet_from_before_many_dives_counted_still_gives_its_pause() -> None:
    older = {name: TABLE["repetition"][name] for name in ("deep_m", "dives", "within_min", "factor")}
    sheet = {**SHEET, "interval": {**TABLE, "repetition": older}}
    assert pause_after(sheet, every(4, 30, reached_m=35))["longer"] is None
    assert pause_after(sheet, every(4, 30, reached_m=45))["seconds"] == pause_after(SHEET, day_of(0, 4, 8))["seconds"]


@pytest.mark.parametrize("altitude_m", [0, 500, 2000, 5000])
def test_no_dive_gets_a_shorter_pause_at_altitude_than_at_the_sea(altitude_m: float) -> None:
    """Own choice, no source: the pressure counts as many times the surface's as it is."""
    sea, lake = (
        sheet_of(season(site={"bottom_m": 120, "water": "salt", "altitude_m": at_m}))["interval"]
        for at_m in (0, altitude_m)
    )
    by_sea, by_lake = ({row["name"]: row["seconds"] for row in needed(table, 60, 120)} for table in (sea, lake))
    assert all(by_lake[name] >= seconds for name, seconds in by_sea.items())
    assert (by_lake == by_sea) is (altitude_m == 0)


def test_below_the_level_of_the_sea_the_whole_pressure_counts() -> None:
    sea, below = (
        sheet_of(season(site={"bottom_m": 120, "water": "salt", "altitude_m": at_m}))["interval"]["bars"]
        for at_m in (0, -400)
    )
    assert all(deeper > bar for deeper, bar in zip(below, sea, strict=True))


def test_a_pause_shorter_than_the_dives_before_ask_for_is_told_with_both_times() -> None:
    first, second = {"reached_m": 44, "dive_s": 98, "surfaced_s": 0}, {"reached_m": 20, "dive_s": 50, "surfaced_s": 350}
    needed_s = pause_after(SHEET, [first])["seconds"]
    assert short_pause(SHEET, [], first) is None
    assert short_pause(SHEET, [first], second) == {"pause_s": 300, "needed_s": needed_s}
    assert short_pause(SHEET, [first], {**second, "surfaced_s": 50 + needed_s}) is None
    overlapping = {**second, "surfaced_s": 10}
    assert short_pause(SHEET, [first], overlapping) == {"pause_s": 0, "needed_s": needed_s}


def test_times_that_are_exact_to_the_minute_never_make_a_kept_pause_short() -> None:
    first, second = {"reached_m": 44, "dive_s": 98, "surfaced_s": 0}, {"reached_m": 20, "dive_s": 50, "surfaced_s": 0}
    needed_s = pause_after(SHEET, [first])["seconds"]
    assert short_pause(SHEET, [first], {**second, "surfaced_s": 50 + needed_s - 60}) is None
    assert short_pause(SHEET, [first], {**second, "surfaced_s": 50 + needed_s - 61})["pause_s"] == needed_s - 61


def test_a_short_pause_counts_every_dive_before_it_and_not_only_the_last() -> None:
    deep, drill = {"reached_m": 60, "dive_s": 120, "surfaced_s": 0}, {"reached_m": 10, "dive_s": 30, "surfaced_s": 100}
    after = {"reached_m": 10, "dive_s": 30, "surfaced_s": 400}
    assert short_pause(SHEET, [drill], after) is None
    assert short_pause(SHEET, [deep, drill], after) == {"pause_s": 270, "needed_s": 900 - 100}


TIMED = st.tuples(depths(5, 90), st.integers(20, 240), st.integers(0, 1500))


def in_turn(dives: list[tuple[float, int, int]]) -> Iterator[dict[str, float]]:
    surfaced_s = 0
    for reached_m, dive_s, pause_s in dives:
        surfaced_s += dive_s + pause_s
        yield {"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": surfaced_s}


def by_looking_back(day: list[dict[str, float]]) -> int:
    """The same pause in the slow way: each dive looks back at all before it."""
    now_s = day[-1]["surfaced_s"]
    return max(int(own_pause(day[: index + 1]) - (now_s - dive["surfaced_s"])) for index, dive in enumerate(day))


def own_pause(day: list[dict[str, float]]) -> float:
    last, table = day[-1], TABLE["repetition"]
    seconds, times = needed(TABLE, last["reached_m"], last["dive_s"])[0]["seconds"], 1.0
    for from_m, dives, minutes in (
        (table["deep_m"], table["dives"], table["within_min"]),
        (table["many_m"], table["many_dives"], table["many_within_min"]),
    ):
        since = last["surfaced_s"] - 60 * minutes
        count = sum(dive["reached_m"] >= from_m and dive["surfaced_s"] >= since for dive in day)
        if last["reached_m"] >= from_m:
            times = max(times, min(table["most_times"], table["factor"] ** (count // dives)))
    return float(-(-seconds * times // 1))


@given(st.lists(TIMED, min_size=1, max_size=40))
def test_dives_taken_in_one_by_one_give_the_pause_that_looking_back_at_all_gives(dives: list[Any]) -> None:
    taken, day = PauseDay(SHEET), []
    for dive in in_turn(dives):
        taken.add(dive)
        day.append(dive)
        assert taken.pause["seconds"] == by_looking_back(day)


def test_twenty_thousand_dives_on_one_day_take_no_more_than_a_moment() -> None:
    day = [{"reached_m": 45, "dive_s": 60, "surfaced_s": index} for index in range(20_000)]
    began = time.process_time()
    pause_after(SHEET, day)
    assert time.process_time() - began < 2


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


@pytest.mark.parametrize("reached_m", [30.1, 30.4, 30.5, 30.6, 30.9])
def test_the_pressure_of_the_next_metre_down_counts_and_neither_the_nearest_nor_the_one_above(reached_m: float) -> None:
    """Own choice, no source: rounded so that the pause is the longer one."""
    table = {**TABLE, "rules": [rule for rule in TABLE["rules"] if rule["per_dive_bar"]]}
    assert needed(table, reached_m, 300) == needed(table, 31, 300)
    assert needed(table, reached_m, 300)[0]["seconds"] > needed(table, 30, 300)[0]["seconds"]
