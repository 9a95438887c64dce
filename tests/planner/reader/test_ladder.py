"""What each verdict does to the ladder, the days and the next target. The rules: common practice, no source."""

from __future__ import annotations

import pytest
from support.seasons import day, dive, sheet_of
from support.story import NO_SPACING, deep, fim, logged, on, plan, season

from webapp.planner.reader.verdict import judge

CLEAN = {"target_m": 40}
HARD = {"target_m": 40, "signs": ["ears_slow"]}
TURNED = {"target_m": 40, "reached_m": 31}


def test_two_clean_dives_at_a_depth_go_up_one_step_and_the_target_says_so() -> None:
    found = plan(season(), logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), today=2)
    assert fim(found) == (42, 0)
    assert deep(found, 3) == 42
    assert on(found, 3)["why"] == "second clean dive at 40 m done: one step deeper"


def test_one_clean_dive_stays_and_counts() -> None:
    found = plan(season(), logged((0, "FIM", CLEAN)), today=1)
    assert fim(found) == (40, 1)
    assert {"target_m": 40, "repeat": 2, "repeats": 2}.items() <= found["next"].items()


def test_a_hard_dive_stays_at_its_depth_and_starts_the_clean_count_again() -> None:
    found = plan(season(), logged((0, "FIM", CLEAN), (1, "FIM", HARD)), today=2)
    assert fim(found) == (40, 0)


@pytest.mark.parametrize("pair", [(HARD, HARD), (TURNED, TURNED), (HARD, TURNED), (TURNED, HARD)])
def test_two_in_a_row_that_were_hard_or_turned_step_down_one_rung(pair: tuple[dict, dict]) -> None:
    found = plan(season(), logged((0, "FIM", pair[0]), (1, "FIM", pair[1])), today=2)
    assert fim(found) == (38, 0)
    assert on(found, 3)["why"] == "2 in a row at 40 m not clean: one step shallower"


def test_a_clean_dive_between_two_hard_ones_does_not_keep_the_rung_but_two_of_them_do() -> None:
    raw = season(level={"repeats": 4})
    log = logged((0, "FIM", HARD), (1, "FIM", CLEAN), (3, "FIM", HARD))
    assert fim(plan(raw, log, today=4)) == (38, 0)
    log = logged((0, "FIM", HARD), (1, "FIM", CLEAN), (3, "FIM", CLEAN), (4, "FIM", HARD))
    assert fim(plan(raw, log, today=5)) == (40, 0)


def test_a_clean_dive_above_the_rung_is_no_dive_on_the_rung() -> None:
    log = logged((0, "FIM", HARD), (1, "FIM", {"target_m": 35}), (3, "FIM", HARD))
    assert fim(plan(season(), log, today=4)) == (38, 0)


def test_at_the_top_of_the_ladder_clean_dives_go_on_counting() -> None:
    found = plan(season(site={"bottom_m": 41}), logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), today=2)
    assert fim(found) == (40, 2)
    says = "second clean dive at 40 m done: this is the deepest rung here, stay at this depth"
    assert found["next"]["why"] == says


def test_stepping_down_begins_the_count_and_the_run_anew() -> None:
    log = logged(
        (0, "FIM", CLEAN), (1, "FIM", HARD), (3, "FIM", HARD), (4, "FIM", {"target_m": 38, "signs": ["ears_slow"]})
    )
    assert fim(plan(season(), log, today=5)) == (38, 0)


def test_the_ladder_steps_below_its_start_but_never_under_five_metres() -> None:
    raw = season(level={"start_m": 8, "step_m": 2, "best_m": 12})
    log = logged(*((at, "FIM", {"target_m": 8, "reached_m": 3}) for at in (0, 1, 3, 4, 6, 7, 9, 10)))
    found = plan(raw, log, today=11)
    assert fim(found) == (5, 0)  # 8, 6, and a last step of one metre
    assert deep(found, 12) == 5


def test_the_ladder_ends_one_metre_above_the_bottom() -> None:
    found = plan(season(site={"bottom_m": 47}, rules=NO_SPACING))
    assert found["disciplines"]["FIM"]["reaches_m"] == 46
    assert (
        found["disciplines"]["FIM"]["goals"]["aim_m"]["says"]
        == "50 m (aim) is deeper than the ladder goes at this site (46 m)"
    )


def test_a_ladder_above_a_bottom_in_tenths_ends_on_tenths() -> None:
    level = {"start_m": 7, "goals": {"floor_m": 40}}
    found = plan(season(site={"bottom_m": 8.2}, level=level))["disciplines"]["FIM"]
    assert found["goals"]["floor_m"]["says"] == "40 m (floor) is deeper than the ladder goes at this site (7.2 m)"


def test_a_clean_dive_deeper_than_its_rung_counts_once_and_skips_nothing() -> None:
    log = logged((0, "FIM", {"target_m": 40, "reached_m": 49}), (1, "FIM", CLEAN))
    assert fim(plan(season(), log, today=2)) == (42, 0)


def test_half_a_metre_short_is_reached_and_more_is_turned() -> None:
    assert fim(plan(season(), logged((0, "FIM", {"target_m": 40, "reached_m": 39.5})), today=1)) == (40, 1)
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "reached_m": 39.4})), today=1)
    assert on(found, 0)["done"][0]["verdict"] == "turned"


@pytest.mark.parametrize("target_m", [8.3, 16.1, 32.2, 64.4, 128.3])
def test_half_a_metre_short_of_a_target_in_tenths_is_reached_too(target_m: float) -> None:
    """None of these less half a metre is a number that a computer has exactly."""
    sheet = sheet_of(season())
    assert judge(sheet, dive(target_m=target_m, reached_m=round(target_m - 0.5, 2))).name == "clean"
    assert judge(sheet, dive(target_m=target_m, reached_m=round(target_m - 0.51, 2))).name == "turned"


def test_turned_above_half_leaves_one_more_try_today_and_only_one() -> None:
    early = {"target_m": 40, "reached_m": 15}
    found = plan(season(), logged((0, "FIM", early)), today=0)
    assert (day(0), 40) == (found["next"]["date"], found["next"]["target_m"])
    assert "only after the full surface interval" in found["next"]["why"]
    done = on(plan(season(), logged((0, "FIM", early), (0, "FIM", CLEAN)), today=0), 0)["done"]
    assert [one["flags"] for one in done] == [[], []]

    ids = [{"id": "b"}, {"id": "a"}]  # the order of diving counts, not that of the records
    log = [{**one, **name} for one, name in zip(logged((0, "FIM", early), (0, "FIM", CLEAN)), ids, strict=True)]
    assert [one["flags"] for one in on(plan(season(), log, today=0), 0)["done"]] == [[], []]

    found = plan(season(), logged((0, "FIM", early), (0, "FIM", early)), today=0)
    assert day(1) == found["next"]["date"]
    assert fim(found) == (38, 0)


def test_the_second_try_stands_before_the_drills_and_none_is_left_after_a_sign_or_hard_effort() -> None:
    early = {"target_m": 40, "reached_m": 15}
    roles = [one["role"] for one in on(plan(season(), logged((0, "FIM", early)), today=0), 0)["dives"]]
    assert roles == ["deep", "deep", "drill", "drill"]
    for more in ({"signs": ["ears_stuck"]}, {"effort": 8}):
        found = plan(season(), logged((0, "FIM", {**early, **more})), today=0)
        assert day(1) == found["next"]["date"]


def test_a_dive_much_deeper_than_its_target_is_flagged() -> None:
    flags = on(plan(season(), logged((0, "FIM", {"target_m": 40, "reached_m": 46.5})), today=0), 0)["done"][0]["flags"]
    assert flags[0].startswith("it counts for 40 m only")


def test_how_much_deeper_is_said_in_tenths_and_a_half_goes_up() -> None:
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "reached_m": 42.25})), today=0)
    assert on(found, 0)["done"][0]["says"].startswith("clean: 2.3 m deeper than the target")


def test_turned_below_half_leaves_no_second_try() -> None:
    found = plan(season(), logged((0, "FIM", {"target_m": 40, "reached_m": 20})), today=0)
    assert day(1) == found["next"]["date"]


def test_a_dive_without_target_counts_for_spacing_and_signs_only() -> None:
    found = plan(season(), logged((0, "FIM", {"reached_m": 40})), today=1)
    assert fim(found) == (40, 0)
    found = plan(season(days_on=9), logged(*((at, "FIM", {"reached_m": 40}) for at in (0, 1, 2))), today=3)
    assert on(found, 3)["kind"] == "easy"  # three on days in a row


def test_a_deep_dive_of_another_discipline_counts_for_spacing_not_for_the_ladder() -> None:
    raw = season(days_on=9, level={"start_m": 74, "best_m": 80, "goals": {}}, site={"bottom_m": 120})
    found = plan(raw, logged((0, "CWT", {"target_m": 74})), today=0)
    assert fim(found) == (74, 0)
    assert found["next"]["date"] == day(1)  # one deep dive a day: the planned one is not offered any more
    assert [one["role"] for one in on(found, 0)["dives"]] == ["drill", "drill"]
    assert "not on the plan" in on(found, 0)["done"][0]["flags"][0]


@pytest.mark.parametrize(
    "instead", [("FIM", {"reached_m": 40}), ("FIM", {"role": "drill", "target_m": 37}), ("CWT", {"target_m": 40})]
)
def test_after_any_other_deep_dive_the_planned_one_is_taken_off_todays_list_and_a_second_try_too(
    instead: tuple[str, dict],
) -> None:
    """What stands on the list as open is what the phone offers next."""
    found = plan(season(), logged((0, *instead)), today=0)
    assert deep(found, 0) is None
    assert deep(plan(season(), logged((0, *instead)), today=1), 0) == 40  # the day after it tells what was planned

    early = (0, "FIM", {"target_m": 40, "reached_m": 15})
    found = plan(season(), logged(early, (0, *instead)), today=0)
    assert day(1) == found["next"]["date"]
    assert [one["role"] for one in on(found, 0)["dives"] if one["done"] is None and one["role"] == "deep"] == []


def test_the_deeper_of_last_dive_and_next_target_sets_the_spacing() -> None:
    raw = season(days_on=9, site={"bottom_m": 120})
    for log in (
        logged((0, "CWT", {"reached_m": 95})),
        logged((0, "CWT", {"reached_m": 95}), (0, "CWT", {"reached_m": 60})),
    ):
        found = plan(raw, log, today=1)
        assert [on(found, at)["kind"] for at in (1, 2, 3)] == ["easy", "easy", "deep"]


def test_at_most_three_deep_dives_on_days_in_a_row_down_to_50_m() -> None:
    found = plan(season(days_on=9, rules={}))
    assert [on(found, at)["kind"] for at in range(5)] == ["deep", "deep", "deep", "easy", "deep"]


def test_a_second_dive_at_nine_tenths_of_the_deep_target_is_flagged() -> None:
    log = logged((0, "FIM", CLEAN), (0, "CWT", {"role": "drill", "target_m": 36, "reached_m": 36}))
    assert "90 % of the deep target" in on(plan(season(), log, today=0), 0)["done"][1]["flags"][0]


def test_the_plan_never_sets_a_drill_that_would_be_a_second_deep_dive() -> None:
    raw = season(level={"start_m": 20, "best_m": 60}, drill={"discipline": "CWT", "depth_m": 30, "dives": 1})
    for each in plan(raw)["days"]:
        targets = {one["role"]: one["target_m"] for one in each["dives"]}
        if "deep" in targets:
            assert targets["drill"] < 0.9 * targets["deep"]


def test_a_drill_just_at_nine_tenths_of_the_target_is_a_second_deep_dive_and_set_shallower() -> None:
    """0.9 x 13 is a hair more than 11.7 to a computer."""
    rules = {"warm_up.dives": 1, "warm_up.depth_m": 11.7}
    drill = {"discipline": "CWT", "depth_m": 11.7, "dives": 1}
    raw = season(level={"start_m": 13, "best_m": 60}, drill=drill, rules=rules)
    assert [one["target_m"] for one in on(plan(raw), 0)["dives"]] == [11.5, 13, 10]  # a drill: eight tenths at most
    log = logged((0, "FIM", {"target_m": 13}), (0, "CWT", {"role": "drill", "target_m": 11.7}))
    assert "90 % of the deep target" in on(plan(raw, log, today=0), 0)["done"][1]["flags"][0]


def test_drills_of_an_easy_day_stay_within_sixty_percent_of_the_best() -> None:
    raw = season(days_on=9, drill={"discipline": "FIM", "depth_m": 40, "dives": 1})
    assert on(plan(raw), 3)["dives"][0]["target_m"] == 26  # 60 % of 44 m is 26.4 m


@pytest.mark.parametrize("discipline", ["FIM", "CWT"])
def test_the_drills_of_an_easy_day_dived_as_planned_leave_the_next_day_its_deep_dive(discipline: str) -> None:
    """After time away 60 % of the best is near the rung, where a drill counts for the spacing."""
    raw = season(
        days_on=9, level={"start_m": 24, "repeats": 9}, drill={"discipline": discipline, "depth_m": 30, "dives": 1}
    )
    log = logged(*((at, "FIM", {"target_m": 24}) for at in range(3)))
    easy = on(plan(raw, log, today=3), 3)
    assert (easy["kind"], [one["target_m"] for one in easy["dives"]]) == ("easy", [19])
    log += [dive(id="easy", date=day(3), discipline=discipline, role="drill", target_m=19, reached_m=19)]
    assert on(plan(raw, log, today=4), 4)["kind"] == "deep"


def test_each_discipline_keeps_its_own_state_through_a_block_led_by_another() -> None:
    other = {"discipline": "CWT", "best_m": 50, "start_m": 44, "step_m": 2, "repeats": 1, "goals": {}}
    raw = season(lead=["FIM", "CWT", "FIM"], block_days=6, break_days=1)
    raw["disciplines"].append(other)
    found = plan(raw)
    assert [deep(found, at) for at in (0, 1, 3, 4)] == [40, 40, 42, 42]
    assert [deep(found, at) for at in (7, 8, 10, 11)] == [44, 46, 48, 50]
    assert deep(found, 14) == 44


def test_past_days_keep_what_was_planned_and_what_was_done() -> None:
    found = plan(season(), logged((0, "FIM", CLEAN)), today=10)
    assert [(one["role"], one["target_m"]) for one in on(found, 0)["dives"] if one["done"]] == [("deep", 40)]
    assert deep(found, 1) == 40  # planned, not dived: it moved nothing
    assert on(found, 1)["done"] == []
    assert fim(found) == (40, 1)


def test_warm_ups_only_when_the_diver_says_so() -> None:
    assert "warm-up" not in {one["role"] for one in on(plan(season()), 0)["dives"]}
    roles = [one["role"] for one in on(plan(season(rules={"warm_up.dives": 2})), 0)["dives"]]
    assert roles == ["warm-up", "warm-up", "deep", "drill", "drill"]


def test_a_goal_counts_as_reached_on_the_day_of_the_clean_dive() -> None:
    raw = season(level={"start_m": 44})
    goal = plan(raw, logged((0, "FIM", {"target_m": 44, "reached_m": 43.6})), today=9)["disciplines"]["FIM"]["goals"][
        "floor_m"
    ]
    assert (day(0), "44 m (floor) reached on 28 Mar") == (goal["on"], goal["says"])
    hard = plan(raw, logged((0, "FIM", {"target_m": 44, "effort": 9})), today=9)["disciplines"]["FIM"]["goals"][
        "floor_m"
    ]
    assert day(0) != hard["on"]
