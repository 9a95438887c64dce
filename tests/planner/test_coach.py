"""Cases of whole seasons in which a careful coach would not have signed the plan.

All rules: common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from support.seasons import day, dive, word
from support.story import NO_SPACING, deep, deeps, fim, logged, on, plan, season

CLEAN_40 = {"target_m": 40}
CWT = {"discipline": "CWT", "best_m": 90, "start_m": None, "step_m": 2.5, "repeats": 2, "goals": {"aim_m": 95}}


def level(**fields: Any) -> dict[str, Any]:
    """A second discipline of a season."""
    return {**CWT, **fields}


def two(first: dict[str, Any], second: dict[str, Any], **fields: Any) -> dict[str, Any]:
    """A season with FIM and CWT at a deep site."""
    raw = season(level=first, site={"name": "Invented Bay", "bottom_m": 120}, **fields)
    raw["disciplines"].append(second)
    return raw


# ---------------------------------------------------------------- goals, bests, pace


def test_the_ladder_never_passes_the_deepest_goal_and_asks_there() -> None:
    raw = season(
        level={"best_m": 45, "start_m": 40, "repeats": 1, "goals": {"floor_m": 48, "aim_m": 50, "dream_m": 54}},
        last_day=day(48), block_days=21, break_days=7, lead=["FIM", "FIM"], site={"bottom_m": 90}, rules=NO_SPACING,
    )  # fmt: skip
    found = plan(raw)
    assert max(deeps(found)) == 54
    assert found["disciplines"]["FIM"]["reaches_m"] == 54
    last = [one for one in found["days"] if one["kind"] == "deep"][-1]
    assert "your deepest goal: stay at this depth. Raise the goal, change the main discipline" in last["why"]


def test_a_goal_between_two_rungs_makes_the_last_step_a_shorter_one() -> None:
    raw = season(level={"best_m": 45, "start_m": 40, "step_m": 3, "repeats": 1, "goals": {"aim_m": 47}})
    assert sorted(set(deeps(plan(raw)))) == [40, 43, 46, 47]


def test_a_goal_between_two_rungs_is_reached_by_the_first_rung_beyond_it_and_the_plan_says_so_there() -> None:
    raw = season(level={"goals": {"floor_m": 43, "aim_m": 50}}, rules=NO_SPACING)
    first = next(one for each in plan(raw)["days"] for one in each["dives"] if one["target_m"] == 44)
    assert first["reaches"] == "reaches 43 m (floor)"


def test_a_goal_exactly_at_the_end_of_the_site_is_the_last_rung() -> None:
    raw = season(level={"goals": {"aim_m": 46}}, site={"bottom_m": 47}, rules=NO_SPACING)
    found = plan(raw)["disciplines"]["FIM"]
    assert (found["reaches_m"], found["ends_says"]) == (46, "The ladder ends at 46 m, your deepest goal.")


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({}, "The ladder ends at 58 m, your deepest goal."),
        ({"last_day": day(4)}, "The ladder ends at 48 m: the days of this season allow no deeper rung."),
        ({"site": {"bottom_m": 55.5}}, "The ladder ends at 54 m, as deep as it goes at this site."),
        ({"site": {"bottom_m": 55.5}, "last_day": day(4)},
         "The ladder ends at 48 m: the days of this season allow no deeper rung."),
    ],
)  # fmt: skip
def test_the_ladder_says_which_of_goal_site_and_days_ends_it(fields: dict[str, Any], says: str) -> None:
    found = plan(season(**{"level": {"step_m": 2}, "rules": NO_SPACING, **fields}))["disciplines"]["FIM"]
    assert found["ends_says"] == says


def test_a_season_without_goals_ends_a_little_beyond_the_best_and_says_that_a_goal_is_missing() -> None:
    found = plan(season(level={"goals": {}, "repeats": 1}, rules=NO_SPACING))
    assert found["disciplines"]["FIM"]["reaches_m"] == 48  # best 44 m, at most 5 m beyond it, in steps of 2 m
    assert "No goal is set" in found["disciplines"]["FIM"]["ends_says"]
    assert "A goal is missing" in [one["why"] for one in found["days"] if one["kind"] == "deep"][-1]


def test_each_target_deeper_than_the_best_says_so_until_it_was_dived_clean() -> None:
    raw = season(level={"start_m": 44})
    log = logged((0, "FIM", {"target_m": 44}), (1, "FIM", {"target_m": 44}))
    target = plan(raw, log, today=3)["next"]
    assert (target["target_m"], target["new_best"], target["best_says"]) == (46, True, "deeper than your best of 44 m")
    log += logged((3, "FIM", {"target_m": 46}))
    log[-1]["id"] = "d9"
    assert "new_best" not in plan(raw, log, today=4)["next"]


def test_large_steps_get_shorter_towards_the_best_and_beyond_it_a_rung_needs_two_clean_dives() -> None:
    raw = season(
        level={"best_m": 45, "start_m": 30, "step_m": 10, "repeats": 1, "goals": {"dream_m": 80}},
        rules=NO_SPACING, site={"bottom_m": 120},
    )  # fmt: skip
    found = plan(raw)
    assert deeps(found)[:8] == [30, 35, 40, 43, 46, 46, 49, 49]
    whys = [one["why"] for one in found["days"] if one["kind"] == "deep"]
    assert whys[1] == "after the first clean dive at 30 m: a short step of 5 m, this near your best"


def test_a_start_far_beyond_the_best_is_refused() -> None:
    from webapp.rulebook.faults import Refused

    with pytest.raises(Refused) as refused:
        plan(season(level={"best_m": 20, "start_m": 120}, site={"bottom_m": 200}))
    assert [fault.field for fault in refused.value.faults] == ["disciplines[0].start_m"]
    plan(season(level={"best_m": 20, "start_m": 25}))


def test_from_70_m_with_a_best_of_65_m_fourteen_deep_dives_reach_85_m_and_80_m_is_the_ninth() -> None:
    """A check fact: start 70 m, step 2.5 m, two repeats, goals 80 and 90 m, no spacing rule."""
    raw = season(
        level={"best_m": 65, "start_m": 70, "step_m": 2.5, "goals": {"floor_m": 80, "aim_m": 90}},
        last_day=day(20), block_days=21, site={"bottom_m": 120}, rules=NO_SPACING,
    )  # fmt: skip
    found = plan(raw)
    assert deeps(found) == [70, 70, 72.5, 72.5, 75, 75, 77.5, 77.5, 80, 80, 82.5, 82.5, 85, 85]
    goals = found["disciplines"]["FIM"]["goals"]
    assert goals["floor_m"]["on"] == day(12)
    assert goals["aim_m"]["says"] == "90 m (aim) is not reached in this season: the plan reaches 85 m"


def test_what_was_reached_and_what_is_planned_from_today_on_are_told_apart() -> None:
    clean = [(at, "FIM", {"target_m": depth}) for at, depth in ((0, 40), (1, 40), (3, 42), (4, 42))]
    lmc = (6, "FIM", {"target_m": 44, "signs": ["lmc"]})
    raw = season(last_day=day(12), level={"goals": {"aim_m": 50}})
    found = plan(raw, logged(*clean, lmc), today=7)["disciplines"]["FIM"]
    assert (found["reached_m"], found["reaches_m"]) == (42, 40)
    assert found["goals"]["aim_m"]["says"] == "50 m (aim) is not reached in this season: the plan reaches 40 m"
    after = plan(raw, logged(*clean, lmc), today=13)["disciplines"]["FIM"]
    assert (after["reached_m"], after["reaches_m"]) == (42, None)
    assert after["goals"]["aim_m"]["says"] == "50 m (aim) was not reached in this season"
    before = plan(raw)["disciplines"]["FIM"]
    assert (before["reached_m"], before["reaches_m"]) == (None, 48)


def test_a_new_best_and_a_goal_are_said_of_the_dive_that_reached_them_and_of_no_other() -> None:
    raw = season(level={"start_m": 44, "best_m": 45, "goals": {"floor_m": 46, "aim_m": 50}})
    deeds = [(0, {"target_m": 44}), (1, {"target_m": 46, "effort": 8}), (3, {"target_m": 46}), (4, {"target_m": 46})]
    found = plan(raw, logged(*((at, "FIM", fields) for at, fields in deeds)), today=5)
    won = [on(found, at)["done"][0].get("wins") for at, _ in deeds]
    assert won == [None, None, ["deeper than your best so far: 46 m", "goal of 46 m reached (floor)"], None]
    lmc = (0, "FIM", {"target_m": 44, "signs": ["lmc"]})
    forbidden = plan(raw, logged(lmc, (1, "FIM", {"target_m": 46})), today=5)
    assert "wins" not in on(forbidden, 1)["done"][0]


def test_a_second_try_that_is_shallower_tells_the_step_down_too() -> None:
    early = {"target_m": 40, "reached_m": 15}
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "signs": ["ears_slow"]}), (1, "FIM", early)), today=1)
    assert found["next"]["target_m"] == 38
    assert found["next"]["why"].startswith("2 in a row at 40 m not clean: one step shallower; turned at 15 m")
    first = plan(season(), logged((0, "FIM", early)), today=0)["next"]
    assert first["why"].startswith("turned at 15 m, shallower than 50 % of 40 m: one more try")


# ---------------------------------------------------------------- two speeds, falling back


def test_below_the_best_one_clean_dive_and_from_the_best_on_three_in_a_row() -> None:
    raw = season(level={"repeats": 3, "repeats_below_best": 1}, rules=NO_SPACING)
    assert deeps(plan(raw))[:9] == [40, 42, 44, 44, 44, 46, 46, 46, 48]


def test_a_dive_that_is_not_clean_starts_the_count_of_its_rung_again() -> None:
    raw = season(level={"repeats": 3})
    log = logged((0, "FIM", CLEAN_40), (1, "FIM", CLEAN_40), (3, "FIM", {"target_m": 40, "effort": 8}))
    assert fim(plan(raw, log, today=5)) == (40, 0)


def test_two_of_the_last_three_dives_on_a_rung_not_clean_lead_one_rung_down() -> None:
    raw = season(level={"repeats": 4})
    hard = {"target_m": 40, "signs": ["ears_slow"]}
    log = logged((0, "FIM", hard), (1, "FIM", CLEAN_40), (3, "FIM", hard))
    found = plan(raw, log, today=5)
    assert fim(found) == (38, 0)
    assert on(found, 6)["why"] == "2 of the last 3 dives at 40 m not clean: one step shallower"


def test_a_rung_that_sent_the_diver_down_asks_for_one_clean_dive_more() -> None:
    hard, lower = {"target_m": 40, "signs": ["ears_slow"]}, {"target_m": 38}
    log = logged((0, "FIM", hard), (1, "FIM", hard), (3, "FIM", lower), (4, "FIM", lower))
    found = plan(season(), log, today=6)
    assert (found["next"]["target_m"], found["next"]["repeats"]) == (40, 3)


def test_a_dive_turned_for_an_outside_reason_neither_counts_nor_leads_down() -> None:
    turned = {"target_m": 40, "reached_m": 30, "turned_why": "current"}
    found = plan(season(), logged((0, "FIM", CLEAN_40), (1, "FIM", turned), (3, "FIM", turned)), today=4)
    assert fim(found) == (40, 1)
    assert "outside reason" in found["next"]["why"]
    mind = {**turned, "turned_why": "mind"}
    assert fim(plan(season(), logged((0, "FIM", mind), (1, "FIM", mind)), today=3)) == (38, 0)


def test_effort_that_rises_from_dive_to_dive_at_one_depth_keeps_the_diver_there() -> None:
    raw = season(level={"repeats": 3}, rules=NO_SPACING)
    log = logged(*((at, "FIM", {"target_m": 40, "effort": effort}) for at, effort in ((0, 3), (1, 4), (3, 6))))
    found = plan(raw, log, today=4)
    assert found["next"]["target_m"] == 40
    assert found["next"]["why"] == "effort rose from dive to dive at 40 m: one more clean dive at this depth"


# ---------------------------------------------------------------- time away, run-in


def test_a_later_block_counts_the_days_at_its_own_first_deep_dive() -> None:
    """Comfortable 86 m 34 days before the block, and nothing near it in between: 85 %, not 100."""
    raw = two(
        {"start_m": 40, "best_m": 60, "repeats": 9, "goals": {"aim_m": 47.5}, "step_m": 2.5},
        level(comfortable_m=86, comfortable_on=day(-6)),
        lead=["FIM", "CWT"], block_days=21, break_days=7, last_day=day(48),
    )  # fmt: skip
    found = plan(raw)
    assert on(found, 28)["why"] == "72.5 m: 85 % of 86 m, your comfortable depth, after 34 days without a dive near it"
    assert deep(found, 28) == 72.5
    assert found["disciplines"]["CWT"]["start_m"] == 72.5


def test_after_deep_dives_in_another_discipline_a_block_opens_at_its_level_less_the_run_in() -> None:
    """A check fact: 80 m in CWT, a first block in FIM up to 85 m, five to seven days of rest."""
    raw = two(
        {"start_m": 75, "best_m": 85, "repeats": 1, "goals": {"aim_m": 85}, "step_m": 2.5},
        level(comfortable_m=80, comfortable_on=day(-2)),
        lead=["FIM", "CWT"], block_days=21, break_days=6, last_day=day(48), rules=NO_SPACING,
    )  # fmt: skip
    found = plan(raw)
    assert max(deeps({"days": found["days"][:21]})) == 85
    assert deep(found, 27) == 77.5
    assert on(found, 27)["why"].startswith("run-in: one step shallower after 8 days without a deep dive")
    assert deep(found, 28) == 80


def test_twenty_four_closed_days_in_mid_season_are_time_away() -> None:
    closed = [day(at) for at in range(5, 29)]
    log = logged(*((at, "FIM", {"target_m": depth}) for at, depth in ((0, 40), (1, 40), (3, 42), (4, 42))))
    found = plan(season(closed_days=closed, last_day=day(40), block_days=41), log, today=20)
    assert (found["next"]["date"], found["next"]["target_m"]) == (day(29), 34)  # 85 % of 42 m is 35.7 m
    assert "85 % of 42 m" in found["next"]["why"]


def test_the_way_back_takes_double_steps_of_one_clean_dive_to_the_comfortable_depth_and_no_further() -> None:
    raw = season(
        level={"start_m": None, "comfortable_m": 42, "comfortable_on": day(-60), "best_m": 44, "repeats": 2},
        rules=NO_SPACING,
    )  # fmt: skip
    found = plan(raw)
    assert deeps(found)[:6] == [30, 34, 38, 40, 42, 42]  # 75 % of 42 m is 31.5 m; 42 m is too near the best for 4 m
    assert on(found, 1)["why"] == "after a clean dive at 30 m: on the way back to 42 m"
    assert on(found, 6)["why"] == "after a clean dive at 40 m: back at 42 m"


def test_after_five_days_without_a_deep_dive_the_first_is_a_rung_shallower_and_a_clean_one_leads_back() -> None:
    log = logged((0, "FIM", CLEAN_40))
    found = plan(season(days_off=5), log, today=6)
    assert (found["next"]["target_m"], deep(found, 8)) == (38, 40)
    assert (
        next(one for one in on(found, 8)["dives"] if one["role"] == "deep")["repeat"] == 2
    )  # the clean dive still counts


@pytest.mark.parametrize("away_days", [4, 5, 21, 22, 42, 43, 84, 85, 365, 366])
def test_more_time_away_never_gives_a_deeper_start(away_days: int) -> None:
    def start_m(days: int) -> float:
        away = {"start_m": None, "comfortable_m": 50, "comfortable_on": day(-days), "best_m": 60, "step_m": 3}
        return plan(season(level=away))["next"]["target_m"]

    assert start_m(away_days) <= start_m(away_days - 1)


# ---------------------------------------------------------------- spacing, taxing


def test_the_rest_after_a_deeper_dive_runs_out_though_a_shallow_one_was_made_since() -> None:
    raw = season(days_on=9, site={"bottom_m": 120})
    log = logged((0, "CWT", {"target_m": 95}), (1, "CWT", {"target_m": 10}))
    found = plan(raw, log, today=2)
    assert [on(found, at)["kind"] for at in (2, 3)] == ["easy", "deep"]


def test_a_dive_turned_far_above_its_target_costs_no_rest() -> None:
    raw = season(
        days_on=9, site={"bottom_m": 120}, level={"best_m": 95, "start_m": 95, "step_m": 5, "goals": {"aim_m": 100}}
    )
    log = logged((0, "FIM", {"target_m": 95, "reached_m": 5, "effort": 8}))
    assert on(plan(raw, log, today=1), 1)["kind"] == "deep"


def test_a_taxing_dive_is_followed_by_an_easy_day_with_drills() -> None:
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "effort": 7})), today=1)
    assert (on(found, 1)["kind"], on(found, 1)["dives"][0]["role"]) == ("easy", "drill")
    assert on(found, 1)["why"].startswith("easy day: the deep dive on 28 Mar was taxing")
    assert on(found, 3)["kind"] == "deep"
    assert on(plan(season(), logged((0, "FIM", {"target_m": 40, "effort": 6})), today=1), 1)["kind"] == "deep"


# ---------------------------------------------------------------- what harms


def test_two_losses_of_motor_control_within_28_days_stand_the_diver_down() -> None:
    raw = two({"start_m": 40, "best_m": 60}, level(comfortable_m=86, comfortable_on=day(-2)), lead=["FIM", "CWT"])
    lmc = {"signs": ["lmc"]}
    log = logged((0, "FIM", {"target_m": 40, **lmc}), (5, "FIM", {"role": "drill", "reached_m": 27.5, **lmc}))
    found = plan(raw, log, today=6)
    assert found["next"] is None
    assert {"since": day(5), "until": day(12), "needs_clearance": True}.items() <= found["stand_down"].items()
    assert found["stand_down"]["why"].endswith("after the second loss of motor control within 28 days on 2 Apr")
    cleared = [*log, {"id": "c", "kind": "clearance", "clearance": day(7), "by": "Dr. Invented"}]
    assert plan(raw, cleared, today=6)["next"]["target_m"] <= 22
    apart = logged((0, "FIM", {"target_m": 40, **lmc}), (29, "FIM", {"role": "drill", "reached_m": 27.5, **lmc}))
    assert plan(raw, apart, today=29)["stand_down"] is None


def test_after_a_loss_of_motor_control_no_discipline_goes_deeper_than_two_rungs_above_it_until_two_clean_dives() -> (
    None
):
    raw = two(
        {"start_m": 40, "best_m": 60}, level(comfortable_m=60, comfortable_on=day(-2), repeats=1),
        lead=["CWT"], rules=NO_SPACING,
    )  # fmt: skip
    log = logged((0, "FIM", {"role": "drill", "reached_m": 32.5, "signs": ["lmc"]}))
    found = plan(raw, log, today=1)
    assert deeps({"days": found["days"][1:]})[:4] == [27.5, 27.5, 30, 32.5]
    assert found["next"]["why"] == (
        "27.5 m at most in any discipline: 2 steps shallower than 32.5 m, until 2 clean dives after the loss of motor"
        " control on 28 Mar"
    )


def test_every_sign_of_a_dive_has_its_consequence() -> None:
    log = [
        *logged((0, "FIM", {"target_m": 40, "signs": ["lmc", "ear_pain"]})),
        {"id": "c", "kind": "clearance", "clearance": day(7), "by": "Dr. Invented"},
    ]
    found = plan(season(rules={"lmc.no_deep_days": 10}), log, today=8)
    assert found["stand_down"] is None
    assert on(found, 9)["why"] == "easy day: no deep dive before 8 Apr after the loss of motor control on 28 Mar"
    assert found["next"]["target_m"] <= 36


def test_a_blackout_during_a_stand_down_lowers_the_ladder_at_least_as_an_lmc_would() -> None:
    cough = (0, "FIM", {"target_m": 40, "signs": ["cough"]})
    clear = {"id": "c", "kind": "clearance", "clearance": day(20), "by": "Dr. Invented"}

    def resumes_m(sign: str) -> float:
        log = logged(cough, (4, "FIM", {"role": "drill", "reached_m": 26, "signs": [sign]}))
        return plan(season(), [*log, clear], today=21)["next"]["target_m"]

    assert resumes_m("blackout") <= resumes_m("lmc") < 28


def test_a_blackout_dated_next_year_stands_the_diver_down_now() -> None:
    found = plan(season(), [dive(id="x", date="2032-03-01", signs=["blackout"])], today=3)
    assert found["next"] is None
    assert {"stand-down", "rest"} == {one["kind"] for one in found["days"][3:]}


def test_stuck_ears_limit_the_rest_of_the_day_and_pressure_on_the_chest_ends_it() -> None:
    raw = season(drill={"discipline": "CWT", "depth_m": 22, "dives": 2})
    found = on(plan(raw, logged((0, "FIM", {"target_m": 40, "signs": ["ears_stuck"]})), today=0), 0)
    assert [one["target_m"] for one in found["dives"] if one["done"] is None] == [10, 10]
    assert found["done"][0]["flags"] == ["Ears stuck: nothing deeper than 10 m today."]
    assert found["done"][0]["care"]
    chest = on(plan(raw, logged((0, "FIM", {"target_m": 40, "signs": ["chest_pressure"]})), today=0), 0)
    assert chest["over"] == "The day is over after pressure on the chest at depth."
    early = logged((0, "CWT", {"role": "warm-up", "target_m": 12, "signs": ["ears_stuck"]}))
    assert deep(plan(raw, early, today=0), 0) is None


def test_a_mild_ear_ache_costs_two_days_without_a_deep_dive_and_no_doctor() -> None:
    found = plan(season(days_on=9), logged((0, "FIM", {"target_m": 40, "signs": ["ear_ache"]})), today=1)
    assert found["stand_down"] is None
    assert [on(found, at)["kind"] for at in (1, 2, 3)] == ["easy", "easy", "deep"]
    assert on(found, 1)["why"] == "easy day: no deep dive before 31 Mar after the mild injury on 28 Mar"


def test_a_target_deeper_than_planned_is_flagged_and_counts_for_its_rung_only() -> None:
    raw = season(level={"start_m": 45, "best_m": 60}, site={"bottom_m": 90})
    found = plan(raw, logged((0, "FIM", {"target_m": 70})), today=1)
    assert on(found, 0)["done"][0]["flags"][0] == "target of 70 m, but the plan has 45 m: it counts for 45 m only"
    assert fim(found) == (45, 1)


def test_a_result_that_was_made_lighter_says_why_on_its_day() -> None:
    log = logged((0, "FIM", {"target_m": 40, "signs": ["lmc"], "lighter_why": "tapped the wrong tile"}))
    flags = on(plan(season(), log, today=1), 0)["done"][0]["flags"]
    assert flags == ["changed to a lighter result: tapped the wrong tile"]


def test_two_dives_of_a_day_without_a_time_are_read_in_the_order_of_logging() -> None:
    early = {"at": None, "target_m": 40, "reached_m": 15, "logged_at": "2031-03-28T09:00:00Z"}
    clean = {"at": None, "target_m": 40, "logged_at": "2031-03-28T10:00:00Z"}
    for ids in (("a", "b"), ("b", "a")):
        log = logged((0, "FIM", early), (0, "FIM", clean))
        found = plan(season(), [{**one, "id": name} for one, name in zip(log, ids, strict=True)], today=1)
        assert fim(found) == (40, 1)


def test_a_pause_shorter_than_the_dives_before_it_asked_for_is_flagged() -> None:
    """One minute for each 5 m: 40 m asks for 8 minutes; common practice, no source."""

    def flags(at: str) -> list[str]:
        drill = (0, "CWT", {"role": "drill", "target_m": 22, "at": at, "dive_s": 60})
        log = logged((0, "FIM", {"target_m": 40, "at": "09:00", "dive_s": 80}), drill)
        return on(plan(season(), log, today=1), 0)["done"][1]["flags"]

    assert flags("09:06") == ["pause of only 5 min before this dive; 8 min were the minimum after the dives before it"]
    assert flags("09:09") == []


def test_a_deep_dive_in_the_days_without_one_is_no_clean_dive_with_nothing_to_note() -> None:
    lmc = (0, "FIM", {"target_m": 40, "signs": ["lmc"]})
    drill = (1, "CWT", {"role": "drill", "target_m": 10})
    found = plan(season(), logged(lmc, drill, (1, "FIM", {"target_m": 40}), (2, "FIM", {"target_m": 38})), today=3)
    assert on(found, 0)["done"][0]["flags"] == []
    first, second = on(found, 1)["done"]
    assert (first["says"], first["flags"]) == ("clean: target reached, nothing to note", [])
    assert second["says"] == "clean: target reached"
    why = "no deep dive was allowed on this day: none before 1 Apr after the loss of motor control on 28 Mar"
    assert why in second["flags"]
    assert why in on(found, 2)["done"][0]["flags"]  # a rest day
    ear = logged((0, "FIM", {"target_m": 40, "signs": ["ear_ache"]}), (1, "FIM", {"target_m": 40, "reached_m": 42}))
    done = on(plan(season(), ear, today=3), 1)["done"][0]
    assert done["says"] == "clean: 2 m deeper than the target"
    assert "after the mild injury on 28 Mar" in done["flags"][0]


def test_any_dive_in_a_stand_down_says_that_there_was_no_diving() -> None:
    cough = (0, "FIM", {"target_m": 40, "signs": ["cough"]})
    found = plan(season(), logged(cough, (1, "CWT", {"role": "drill", "target_m": 10})), today=3)
    done = on(found, 1)["done"][0]
    assert done["says"] == "clean: target reached"
    assert done["flags"][0].startswith("dived during days without diving: no diving until a doctor's clearance")


def test_a_dive_with_a_flag_never_has_nothing_to_note() -> None:
    log = logged((0, "FIM", {"target_m": 40}), (0, "FIM", {"target_m": 40}))
    assert on(plan(season(), log, today=0), 0)["done"][1]["says"] == "clean: target reached"


# ---------------------------------------------------------------- drills


def drilled(share: float | None = None, depth_m: float | None = None, **level: Any) -> dict[str, Any]:
    """A season of one block with two drills in FIM, by a share or in metres."""
    raw = season(level=level, rules=NO_SPACING)
    drills = [{"discipline": "FIM", "share": share, "depth_m": depth_m, "dives": 2, "focus": ""}]
    rhythm = {name: raw.pop(name) for name in ("days_on", "days_off")}
    for name in ("block_days", "break_days", "lead", "drill"):
        del raw[name]
    return {**raw, "blocks": [{"first_day": day(0), "last_day": day(34), "main": "FIM", "drills": drills, **rhythm}]}


def drills_m(found: dict[str, Any], offset: int) -> list[float]:
    """How deep the drills of a day are."""
    return [one["target_m"] for one in on(found, offset)["dives"] if one["role"] == "drill"]


def test_a_drill_by_a_share_follows_the_diver_down_after_losses_of_motor_control() -> None:
    raw = drilled(share=0.6, best_m=44, start_m=None, comfortable_m=40, comfortable_on=day(-1))
    assert drills_m(plan(raw), 0) == [24, 24]
    events = [(0, "FIM", {"target_m": 40, "signs": ["lmc"]}), (29, "FIM", {"target_m": 26, "signs": ["lmc"]})]
    found = plan(raw, logged(*events), today=33)
    target = deep(found, 33)
    assert target is not None
    assert target <= 22
    assert drills_m(found, 33) == [math.floor(0.6 * target * 2) / 2] * 2


def test_a_drill_in_another_discipline_follows_the_limit_of_that_discipline_too() -> None:
    raw = drilled(share=0.5, best_m=44, start_m=40)
    raw["disciplines"].append(level(best_m=44, comfortable_m=40, comfortable_on=day(-1), goals={}, step_m=2))
    raw["blocks"][0] |= {"main": "CWT"}
    found = plan(raw, logged((0, "CWT", {"role": "drill", "reached_m": 20, "signs": ["lmc"]})), today=1)
    assert drills_m(found, 1) == [8, 8]  # half of 16 m: two rungs shallower than 20 m, in every discipline


@pytest.mark.parametrize(("start_m", "drill_m"), [(18, 14), (20, 16), (22, 16), (40, 16)])
def test_a_drill_typed_in_metres_stays_but_for_clearly_shallower_than_the_deep_dive(
    start_m: float, drill_m: float
) -> None:
    assert drills_m(plan(drilled(depth_m=16, start_m=start_m)), 0) == [drill_m] * 2


def test_on_an_easy_day_after_a_hard_dive_the_drills_are_clearly_shallower_than_its_rung() -> None:
    found = plan(drilled(depth_m=20, start_m=22), logged((0, "FIM", {"target_m": 22, "effort": 8})), today=1)
    assert (on(found, 1)["kind"], drills_m(found, 1)) == ("easy", [17.5] * 2)


# ---------------------------------------------------------------- found by divers that a bench invented


def test_shallow_dives_of_ones_own_choice_do_not_end_the_time_away() -> None:
    level = {"start_m": None, "comfortable_m": 60, "comfortable_on": day(-2), "best_m": 64, "goals": {"aim_m": 70}}
    raw = season(level=level, last_day=day(59), block_days=60, site={"bottom_m": 90})
    log = logged(*((at, "FIM", {"target_m": 20}) for at in range(0, 40, 3)))
    target = plan(raw, log, today=41)["next"]
    assert target["target_m"] <= 0.85 * 60


def test_a_new_start_in_mid_season_does_not_undo_what_an_event_did() -> None:
    level = {**season()["disciplines"][0], "start_m": None, "comfortable_m": 40, "comfortable_on": day(-2)}
    restated = {"from": day(12), "set": {"disciplines": [{**level, "comfortable_on": day(0)}]}, "why": "typed wrong"}
    raw = season(level=level, changes=[restated])
    log = [
        *logged((0, "FIM", {"target_m": 38, "signs": ["blackout"]})),
        {"id": "c", "kind": "clearance", "clearance": day(3), "by": "Dr. Invented"},
    ]
    assert plan(raw, log, today=12)["next"]["target_m"] <= 28


def added(comfortable_on: str, at: int = 12) -> dict[str, Any]:
    """A season of FIM to which a change adds CWT, comfortable at 40 m, as the main discipline."""
    raw = season(level={"start_m": None, "comfortable_m": 40, "comfortable_on": day(-2)})
    other = level(best_m=44, comfortable_m=40, comfortable_on=comfortable_on, step_m=2, goals={})
    change = {"disciplines": [*raw["disciplines"], other], "lead": ["CWT"]}
    return {**raw, "changes": [{"from": day(at), "set": change, "why": "invented"}]}


def test_a_discipline_that_a_change_adds_after_a_stand_down_is_lowered_as_the_others_were() -> None:
    log = [
        *logged((0, "FIM", {"target_m": 40, "signs": ["cough"]})),
        {"id": "c", "kind": "clearance", "clearance": day(3), "by": "Dr. Invented"},
    ]
    found = plan(added(day(-2), at=15), log, today=15)
    assert found["next"]["discipline"] == "CWT"
    assert found["next"]["target_m"] <= 28
    assert "possible injury on 28 Mar" in on(found, 15)["why"] + found["next"]["why"]
    assert plan(added(day(14), at=15), log, today=15)["disciplines"]["CWT"]["rung_m"] == 40  # comfortable since


def test_a_discipline_that_a_change_adds_after_a_loss_of_motor_control_in_it_is_lowered_too() -> None:
    lmc = (0, "CWT", {"role": "drill", "target_m": 40, "signs": ["lmc"]})
    clean = [(at, "FIM", {"target_m": 36}) for at in (4, 6, 7)]  # they end the limit
    found = plan(added(day(-2)), logged(lmc, *clean), today=12)
    assert found["disciplines"]["CWT"]["rung_m"] == 36
    other = plan(added(day(-2)), logged((0, "FIM", lmc[2]), *clean), today=12)
    assert other["disciplines"]["CWT"]["rung_m"] == 40


def test_near_a_rung_that_sent_the_diver_down_each_depth_needs_the_number_from_the_best_on() -> None:
    raw = season(level={"repeats": 3, "repeats_below_best": 1, "best_m": 60, "goals": {}}, site={"bottom_m": 90})
    hard = {"target_m": 40, "signs": ["ears_slow"]}
    found = plan(raw, logged((0, "FIM", hard), (1, "FIM", hard)), today=2)
    assert [
        (one["target_m"], one["repeats"]) for each in found["days"] for one in each["dives"] if one["role"] == "deep"
    ][2:9] == [(38, 3)] * 3 + [(40, 4)] * 4


def test_after_a_stand_down_the_last_rungs_before_the_event_are_climbed_slowly() -> None:
    raw = season(
        level={"repeats": 3, "repeats_below_best": 1, "best_m": 60, "goals": {}}, site={"bottom_m": 90},
        last_day=day(59), block_days=60, rules=NO_SPACING,
    )  # fmt: skip
    log = [
        *logged((0, "FIM", {"target_m": 40, "signs": ["cough"]})),
        {"id": "c", "kind": "clearance", "clearance": day(14), "by": "Dr. Invented"},
    ]
    found = deeps(plan(raw, log, today=15))[1:]
    assert found[:12] == [28, 30, 32, 34, 36, 38, 38, 38, 40, 40, 40, 40]


def test_the_longer_steps_of_the_way_back_keep_the_pace() -> None:
    level = {
        "start_m": None,
        "comfortable_m": 95,
        "comfortable_on": day(-400),
        "best_m": 100,
        "step_m": 10,
        "goals": {},
    }
    raw = season(
        level={**level, "goals": {}}, site={"bottom_m": 160}, rules=NO_SPACING, last_day=day(59), block_days=60
    )
    found = deeps(plan(raw))
    for before, after in itertools.pairwise(found):
        assert after - before <= (10 if after <= 80 else 5 if after <= 95 else 3)


def test_a_dive_much_deeper_than_its_target_is_no_comfortable_depth() -> None:
    raw = season(level={"repeats": 1, "best_m": 80, "start_m": 60, "goals": {"aim_m": 90}}, site={"bottom_m": 120})
    found = plan(raw, logged((0, "FIM", {"target_m": 60, "reached_m": 75})), today=1)
    assert found["disciplines"]["FIM"]["comfortable_m"] == 60


def test_sick_days_before_the_season_make_its_first_deep_dive_shallower() -> None:
    level = {"start_m": None, "comfortable_m": 40, "comfortable_on": day(-8)}
    found = plan(season(level=level), [word(day(-6), to=day(-1), no_diving="sick")])
    assert found["next"]["target_m"] == 36
    assert "sick" in found["next"]["why"]


def test_only_clean_dives_at_the_limit_end_it() -> None:
    raw = season(level={"best_m": 60})
    log = logged((0, "FIM", {"target_m": 40, "signs": ["lmc"]}), *((at, "FIM", {"target_m": 10}) for at in (4, 6, 7)))
    assert plan(raw, log, today=8)["next"]["target_m"] == 36
