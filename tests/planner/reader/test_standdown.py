"""What ends a day and stands a diver down, and where the ladder continues. The rules: common practice, no source."""

from __future__ import annotations

import pytest
from support.seasons import SIGNS, day, dive, sheet_of
from support.story import deep, fim, logged, on, plan, season

from webapp.planner.reader.verdict import judge

CLEAN = {"target_m": 40}


def test_after_an_lmc_the_day_is_over_three_days_have_no_deep_dive_and_the_ladder_is_two_rungs_up_the_line() -> None:
    found = plan(season(days_on=9, days_off=1), logged((0, "FIM", {"target_m": 40, "signs": ["lmc"]})), today=0)
    assert on(found, 0)["over"]
    assert [on(found, at)["kind"] for at in (1, 2, 3, 4)] == ["easy", "easy", "easy", "deep"]
    assert deep(found, 4) == 36
    assert found["stand_down"] is None


def test_a_dive_after_the_day_was_over_is_flagged_and_moves_no_ladder() -> None:
    log = logged((0, "CWT", {"role": "drill", "target_m": 12, "signs": ["lmc"]}), (0, "FIM", CLEAN))
    found = plan(season(), log, today=0)
    assert fim(found) == (40, 0)
    assert on(found, 0)["over"] == "The day is over after a loss of motor control."
    assert on(found, 0)["done"][1]["flags"] == [
        "dived after the day was over",
        "not on the plan: counts for spacing and signs only",
    ]


def test_a_blackout_stands_down_until_cleared_and_never_under_seven_days() -> None:
    log = logged((0, "FIM", {"target_m": 40, "signs": ["blackout"]}))
    found = plan(season(), log, today=1)
    assert {"since": day(0), "until": day(7), "needs_clearance": True}.items() <= found["stand_down"].items()
    assert not any(one["kind"] in ("deep", "easy") for one in found["days"][1:])

    early = [*log, {"id": "c", "kind": "clearance", "clearance": day(2), "by": "Dr. Invented"}]
    found = plan(season(), early, today=2)
    assert found["stand_down"]["needs_clearance"] is False
    assert [day(7)] == [one["date"] for one in found["days"] if one["kind"] == "deep"][1:2]
    assert deep(found, 7) == 28  # 70 % of 40 m

    late = [*log, {"id": "c", "kind": "clearance", "clearance": day(20), "by": "Dr. Invented"}]
    assert {"stand-down"} == {one["kind"] for one in plan(season(), late, today=21)["days"][1:20]} - {"rest"}


def cleared(offset: int) -> dict:
    """A doctor's clearance of that day."""
    return {"id": "c", "kind": "clearance", "clearance": day(offset), "by": "Dr. Invented"}


@pytest.mark.parametrize(
    ("start_m", "step_m", "resumes_m", "why"),
    [
        (40, 2, 28, "after the blackout on 28 Mar: at most 70 % of 40 m"),
        (90, 1, 63, "after the blackout on 28 Mar: at most 70 % of 90 m"),
        (14, 10, 5, "after the blackout on 28 Mar: at most 70 % of 14 m"),
        (6, 2, 5, "after the blackout on 28 Mar: from 5 m, the shallowest rung"),
    ],
)
def test_after_a_stand_down_the_ladder_goes_on_at_or_below_seventy_percent_or_from_its_lowest_rung(
    start_m: float, step_m: float, resumes_m: float, why: str
) -> None:
    raw = season(level={"start_m": start_m, "step_m": step_m, "best_m": 95, "goals": {}}, site={"bottom_m": 120})
    log = logged((0, "FIM", {"target_m": start_m, "signs": ["blackout"]}))
    found = plan(raw, [*log, cleared(2)], today=3)["next"]
    assert (found["target_m"], found["why"]) == (resumes_m, why)


def test_a_blackout_before_the_season_that_still_stands_down_its_first_day_lowers_the_start() -> None:
    log = logged((-3, "CWT", {"reached_m": 40, "signs": ["blackout"]}))
    found = plan(season(), [*log, cleared(3)])
    assert [on(found, at)["kind"] for at in (0, 1, 3)] == ["stand-down"] * 3
    assert (found["next"]["date"], found["next"]["target_m"]) == (day(4), 28)
    assert found["disciplines"]["FIM"]["start_m"] == 28

    over = plan(season(), [*logged((-12, "CWT", {"reached_m": 40, "signs": ["blackout"]})), cleared(-4)])
    assert deep(over, 0) == 36  # cleared, but two clean dives are still missing


def test_of_two_events_before_the_season_the_one_that_reaches_into_it_lowers_the_start() -> None:
    log = logged(
        (-20, "CWT", {"reached_m": 40, "signs": ["blackout"]}), (-12, "CWT", {"reached_m": 9, "signs": ["cough"]})
    )
    found = plan(season(), [*log, cleared(-10)])
    assert (found["next"]["date"], found["next"]["target_m"]) == (day(3), 28)

    both = plan(season(), [*log, cleared(3)])
    assert both["next"]["target_m"] == 24  # the second event came during the stand-down: two rungs lower still


def test_an_lmc_before_the_season_lowers_the_ladder_while_its_days_reach_into_it() -> None:
    found = plan(season(), logged((-2, "FIM", {"reached_m": 40, "signs": ["lmc"]})))
    assert on(found, 0)["kind"] == on(found, 1)["kind"] == "easy"
    assert deep(found, 3) == 36
    later = plan(season(), logged((-4, "FIM", {"reached_m": 40, "signs": ["lmc"]})))
    assert deep(later, 0) == 36  # its days are over, but two clean dives are still missing
    assert deep(plan(season(), logged((-29, "FIM", {"reached_m": 40, "signs": ["lmc"]}))), 0) == 40


def test_a_clearance_from_before_the_event_or_of_its_day_clears_nothing() -> None:
    log = logged((5, "FIM", {"target_m": 40, "signs": ["blackout"]}))
    for offset in (2, 5):
        found = plan(season(), [*log, cleared(offset)], today=20)
        assert found["stand_down"]["needs_clearance"] is True


@pytest.mark.parametrize("sign", ["blood", "cough", "chest_pain", "wheeze", "breathless"])
def test_a_chest_sign_stands_down_for_fourteen_days_at_the_least(sign: str) -> None:
    log = [
        *logged((0, "CNF", {"role": "drill", "reached_m": 12, "signs": [sign]})),
        {"id": "c", "kind": "clearance", "clearance": day(3), "by": "Dr. I."},
    ]
    found = plan(season(), log, today=1)
    assert day(14) == found["stand_down"]["until"]
    assert found["stand_down"]["care"]
    assert all(one["kind"] in ("stand-down", "rest") for one in found["days"][1:14])


def test_a_second_event_during_a_stand_down_asks_for_a_new_clearance_and_ends_no_earlier() -> None:
    log = [
        *logged((0, "FIM", {"target_m": 40, "signs": ["cough"]}), (4, "FIM", {"reached_m": 10, "signs": ["ear_pain"]})),
        {"id": "c", "kind": "clearance", "clearance": day(3), "by": "Dr. Invented"},
    ]
    stop = plan(season(), log, today=5)["stand_down"]
    assert {"until": day(14), "needs_clearance": True}.items() <= stop.items()


def test_an_event_dated_after_today_stands_down_all_the_same() -> None:
    """A phone's clock may be behind."""
    stop = plan(season(), logged((5, "FIM", {"target_m": 40, "signs": ["cough"]})), today=3)["stand_down"]
    assert {"since": day(5), "until": day(19), "needs_clearance": True}.items() <= stop.items()


def test_the_worst_sign_decides() -> None:
    sheet = sheet_of(season())
    order = ["urge_at_bottom", "lmc", "ear_pain", "blackout"]
    for at in range(len(order)):
        worst = judge(sheet, dive(target_m=40, reached_m=40, signs=order[: at + 1]))
        assert sheet["signs"][order[at]]["verdict"] == worst.name
    assert judge(sheet, dive(target_m=40, reached_m=20, effort=10, signs=["ears_stuck"])).name == "turned"
    assert judge(sheet, dive(signs=["blackout", "cough"])).events == (("clean", 0), ("hurt", 14), ("blackout", 7))


@pytest.mark.parametrize("sign", SIGNS)
def test_no_sign_leaves_a_dive_clean(sign: str) -> None:
    assert judge(sheet_of(season()), dive(target_m=20, signs=[sign])).name != "clean"


@pytest.mark.parametrize("sign", ["lmc", "blackout", "blood", "ear_pain", "neurological"])
def test_every_sign_that_ends_the_day_brings_words_on_what_to_do(sign: str) -> None:
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "signs": [sign]})), today=0)
    assert on(found, 0)["over"]
    assert on(found, 0)["done"][0]["care"]


def test_neurological_signs_say_oxygen_and_emergency_call_first() -> None:
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "signs": ["neurological"]})), today=0)
    assert found["stand_down"]["care"][0].startswith("Oxygen and an emergency call first")
