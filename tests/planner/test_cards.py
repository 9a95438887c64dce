"""The dive card of each rung: the physics for the season's site, diver and rules."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from support.seasons import dive, seasons, sheet_of
from support.story import season

from webapp.planner.cards import free_fall_of, speeds_of, water_of
from webapp.planner.sheet import compile_sheet, expected_s
from webapp.records.season import check_season
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook
from webapp.water.pressure import absolute_bar

BOOK = read_rulebook()
BODY = {"sex": "man", "height_cm": 180, "age_years": 30, "body_kg": 75, "suit_l": 5, "suit_kg": 1, "lead_kg": 2}


def card(raw: dict[str, Any], depth_m: float, discipline: str = "FIM") -> dict[str, Any]:
    rungs = sheet_of(raw)["disciplines"][discipline]["rungs"]
    return next(rung["card"] for rung in rungs if rung["depth_m"] == depth_m)


def deep(at: int, **fields: Any) -> dict[str, Any]:
    """A timed deep dive to 40 m."""
    return dive(**{"id": f"d{at}", "target_m": 40, "reached_m": 40, "dive_s": 120, **fields})


def mark(found: dict[str, Any], kind: str) -> list[Any] | None:
    return next((one for one in found["down"] if one[0] == kind), None)


def test_the_card_needs_nothing_that_the_diver_did_not_fill_in() -> None:
    found = card(season(), 40)
    assert (found["line_m"], found["clearance_m"], found["cautions"]) == (40, 20, [])
    assert ["free_fall", 20, pytest.approx(20, abs=8)] == mark(found, "free_fall")
    assert mark(found, "mouthfill") is None


def test_the_dive_takes_as_long_as_the_rulebook_expects() -> None:
    for discipline in ("CWT", "CWTB", "CNF", "FIM", "VWT"):
        raw = season(level={"discipline": discipline}, lead=[discipline])
        assert expected_s(discipline, 40, BOOK) == pytest.approx(card(raw, 40, discipline)["total_s"], abs=1)


def test_the_safety_diver_meets_at_a_third_and_leaves_in_time() -> None:
    """Source (seen): school pages, a handout: meet at about a third, not deeper than 15 m, start by half the time."""
    found = card(season(), 40)
    assert pytest.approx(found["meet"]["depth_m"], abs=0.5) == 40 / 3
    assert found["meet"]["leave_s"] <= found["total_s"] / 2
    assert found["meet"]["meet_s"] - found["meet"]["depth_m"] / 0.9 - 10 >= found["meet"]["leave_s"] - 1
    deep = card(season(site={"bottom_m": 120}, level={"start_m": 70, "best_m": 80, "goals": {}}), 80)
    assert deep["meet"]["depth_m"] == 15


def test_the_safety_divers_own_limit_caps_the_meeting_and_the_card_says_so() -> None:
    found = card(season(rules={"safety.own_limit_m": 10}), 40)
    assert found["meet"]["depth_m"] == 10
    assert any("own limit" in caution for caution in found["cautions"])


def test_close_to_the_bottom_the_card_warns() -> None:
    assert any("at least 3 m" in caution for caution in card(season(site={"bottom_m": 43}), 42)["cautions"])


def test_a_plate_below_the_target_makes_the_line_longer_and_may_not_reach_past_the_ladders_room() -> None:
    rules = {"card.line_below_m": 1.5, "ladder.above_bottom_m": 3}
    assert card(season(rules=rules), 40)["line_m"] == 41.5
    with pytest.raises(Refused) as refused:
        check_season(season(rules={"card.line_below_m": 2}), BOOK)
    assert [fault.field for fault in refused.value.faults] == ["rules.card.line_below_m"]


def test_mouthfill_and_alarms_stand_on_the_card_when_the_diver_uses_them() -> None:
    found = card(season(diver={"mouthfill": True, "alarms_m": [30, 12, 55]}), 40)
    assert {"alarm", "free_fall", "mouthfill"} == {one[0] for one in found["down"]}
    assert [one[1] for one in found["down"] if one[0] == "alarm"] == [12, 30]
    assert [one[1] for one in found["down"]] == sorted(one[1] for one in found["down"])


def test_body_suit_and_lead_say_where_the_free_fall_begins() -> None:
    heavy, light = (check_season(season(diver={**BODY, "lead_kg": lead}), BOOK) for lead in (4, 1))
    assert free_fall_of(heavy, BOOK) < free_fall_of(light, BOOK)
    assert BOOK.value("fall.from_m") == free_fall_of(check_season(season(diver={"body_kg": 75}), BOOK), BOOK)


def test_a_sled_has_no_free_fall() -> None:
    assert mark(card(season(level={"discipline": "VWT"}, lead=["VWT"]), 40, "VWT"), "free_fall") is None


def test_times_come_from_the_divers_own_log_once_there_are_three_dives() -> None:
    two = [deep(at, dive_s=123) for at in range(2)]
    three = [*two, deep(2, dive_s=103)]
    assert "until 3 deep dives" in speeds_of(two, BOOK)["FIM"].says
    assert speeds_of(three, BOOK)["FIM"].m_s == 0.67  # 80 m in 120 s: the median
    slower = compile_sheet(check_season(season(), BOOK), BOOK, speeds_of(three, BOOK))["disciplines"]["FIM"]["rungs"]
    assert next(rung["expected_s"] for rung in slower if rung["depth_m"] == 40) == pytest.approx(122, abs=1)


def test_hangs_typing_errors_and_warm_ups_are_left_out_of_the_speeds() -> None:
    odd = [
        dive(id="hang", target_m=10, reached_m=10, dive_s=180),
        *(deep(at, dive_s=9) for at in range(3)),
        *(dive(id=f"w{at}", role="warm-up", target_m=12, reached_m=12, dive_s=60) for at in range(9)),
    ]  # fmt: skip
    assert BOOK.value("speed.FIM") == speeds_of(odd, BOOK)["FIM"].m_s


@pytest.mark.parametrize(
    "fields",
    [
        {"role": "drill"}, {"role": "warm-up"}, {"reached_m": 39.4}, {"target_m": None}, {"signs": ["lmc"]},
        {"signs": ["ears_slow", "cough"]}, {"signs": ["ear_ache"]},
    ],
)  # fmt: skip
def test_only_deep_dives_that_reached_their_target_say_how_fast_a_diver_is(fields: dict[str, Any]) -> None:
    """The overdue alarm and the safety diver's leaving time follow from it: slow drills would make both late."""
    assert speeds_of([deep(at, **fields) for at in range(9)], BOOK)["FIM"].dives == 0


def test_a_hard_dive_to_its_target_says_how_fast_a_diver_is() -> None:
    hard = [deep(0, signs=["ears_slow"]), deep(1, effort=9), deep(2, reached_m=39.5)]
    assert speeds_of(hard, BOOK)["FIM"].dives == 3


def test_one_dive_more_at_the_same_speed_changes_no_card() -> None:
    log = [deep(at, dive_s=87) for at in range(3)]
    assert speeds_of(log, BOOK) == speeds_of([*log, deep(9, dive_s=87)], BOOK)


def test_the_lake_and_the_height_above_the_sea_are_in_the_pressures() -> None:
    """Source (computed from gsw, in the water tests): a lake weighs about 2.5 % less than the sea."""
    sea, lake = (
        sheet_of(season(site={"bottom_m": 60, "water": water}))["interval"]["bars"] for water in ("salt", "fresh")
    )
    assert 0.97 < (lake[50] - lake[0]) / (sea[50] - sea[0]) < 0.985
    high = water_of(check_season(season(site={"bottom_m": 60, "water": "fresh", "altitude_m": 1000}), BOOK).site)
    assert pytest.approx(absolute_bar(0, high), abs=0.001) == 0.8988  # ICAO standard atmosphere, 898.76 hPa (memory)


@settings(max_examples=60)
@given(seasons())
def test_every_card_keeps_the_line_off_the_bottom_and_its_times_in_order(raw: dict[str, Any]) -> None:
    sheet = sheet_of(raw)
    json.dumps(sheet, allow_nan=False)
    for ladder in sheet["disciplines"].values():
        for rung in ladder["rungs"]:
            found = rung["card"]
            assert found["line_m"] < raw["site"]["bottom_m"]
            assert 0 <= found["meet"]["leave_s"] <= found["meet"]["meet_s"] <= found["total_s"] < found["overdue_s"]
            times = [one[2] for one in found["down"]]
            assert times == sorted(times)
            assert all(at <= found["turn_s"] for at in times)
            assert found["turn_s"] < found["total_s"]


def test_the_sites_own_salinity_goes_before_its_kind() -> None:
    own = check_season(
        season(site={"bottom_m": 60, "water": "salt", "salinity": 40, "temperature_c": 26, "latitude": 28}), BOOK
    )
    assert pytest.approx(absolute_bar(100, water_of(own.site)), abs=0.002) == 11.0697  # 100.565 dbar, computed with gsw


def test_a_time_that_the_form_filled_in_and_nobody_changed_says_nothing_of_the_speed() -> None:
    """Else the plan's own expectation would come back as the diver's speed."""
    filled = [deep(at, time_from="expected") for at in range(5)]

    assert speeds_of(filled, BOOK)["FIM"].dives == 0
    assert speeds_of([{**one, "time_from": None} for one in filled], BOOK)["FIM"].m_s == 0.68
