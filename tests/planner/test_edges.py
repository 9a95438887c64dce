"""Where each rule begins and ends. All of them: common practice or own choice, no source, as the rulebook says."""

from __future__ import annotations

from typing import Any

import pytest
from support.seasons import day, dive, proposal, sheet_of, word
from support.story import NO_SPACING, deep, deeps, fim, logged, on, plan, season

from webapp.rulebook_file import read_rulebook

CLEAN, HARD = {"target_m": 40}, {"target_m": 40, "effort": 8}
CWT = {"discipline": "CWT", "best_m": 90, "start_m": 60, "step_m": 2.5, "repeats": 2, "goals": {"aim_m": 95}}


def two(level: dict[str, Any] | None = None, **fields: Any) -> dict[str, Any]:
    """A season with FIM and CWT at a deep site."""
    raw = season(level=level or {}, site={"name": "Invented Bay", "bottom_m": 120}, **fields)
    raw["disciplines"].append(CWT)
    return raw


def changed(raw: dict[str, Any], at: int, **fields: Any) -> dict[str, Any]:
    """The season with one change from that day on."""
    return {**raw, "changes": [{"from": day(at), "set": fields, "why": "invented"}]}


def rungs(**level: Any) -> list[dict[str, Any]]:
    """The ladder of a season at a deep site, from its start on."""
    site = {"name": "Invented Bay", "bottom_m": 320}
    ladder = sheet_of(season(level=level, site=site))["disciplines"]["FIM"]
    return ladder["rungs"][ladder["stands"] :]


# ---------------------------------------------------------------- spacing


@pytest.mark.parametrize(
    ("depth_m", "kinds"),
    [
        (50, "ddde"), (50.5, "dded"), (75, "dded"), (75.5, "dede"), (90, "dede"), (90.5, "deed"),
    ],
)  # fmt: skip
def test_the_spacing_changes_at_50_75_and_90_m(depth_m: float, kinds: str) -> None:
    level = {"best_m": 100, "start_m": depth_m, "repeats": 9, "goals": {"aim_m": 110}}
    found = plan(season(days_on=9, level=level, site={"bottom_m": 120}))
    assert kinds == "".join(on(found, at)["kind"][0] for at in range(4))


def test_a_shallower_deep_dive_within_the_rest_of_a_deeper_one_does_not_end_it() -> None:
    rows = [{"to_m": 50, "min_days": 1, "max_in_a_row": 3}, {"min_days": 5, "max_in_a_row": 1}]
    log = logged((0, "CWT", {"target_m": 55}), (2, "CWT", {"target_m": 10}))
    found = plan(season(days_on=9, rules={"spacing": rows}), log, today=3)
    assert [on(found, at)["kind"] for at in (3, 4, 5)] == ["easy", "easy", "deep"]


def test_a_second_deep_dive_is_measured_by_the_deepest_of_its_day_and_not_by_the_last() -> None:
    drill = (0, "CWT", {"role": "drill", "target_m": 30})
    log = logged((0, "FIM", CLEAN), (0, "CWT", {"target_m": 20}), drill)
    assert on(plan(season(), log, today=1), 0)["done"][2]["flags"] == []


def test_a_second_try_logged_later_without_a_time_comes_second_whatever_its_id() -> None:
    first = {"at": None, "target_m": 40, "reached_m": 15, "logged_at": "2031-03-28T09:00:00Z"}
    log = logged((0, "FIM", first), (0, "FIM", {"at": None, "target_m": 40, "logged_at": "2031-03-28T10:00:00Z"}))
    done = on(plan(season(), [{**one, "id": name} for one, name in zip(log, "ba", strict=True)], today=1), 0)["done"]
    assert [(one["id"], one["flags"]) for one in done] == [("b", []), ("a", [])]


# ---------------------------------------------------------------- ladders


def test_large_steps_are_cut_beyond_eight_tenths_and_again_beyond_nineteen_twentieths_of_the_best() -> None:
    found = rungs(best_m=100, start_m=55, step_m=10, repeats=1, goals={"aim_m": 101})
    assert [rung["depth_m"] for rung in found] == [55, 65, 75, 80, 85, 90, 95, 98, 101]
    assert [rung["depth_m"] for rung in rungs(best_m=100, start_m=60, step_m=10, goals={"aim_m": 85})][:3] == [
        60, 70, 80,
    ]  # fmt: skip


@pytest.mark.parametrize(("repeats", "below", "needs"), [(3, 1, [1, 3, 3]), (1, 1, [1, 1, 2]), (2, 3, [3, 2, 2])])
def test_a_rung_needs_as_many_clean_dives_as_its_side_of_the_best_asks_for(
    repeats: int, below: int, needs: list[int]
) -> None:
    found = rungs(best_m=44, start_m=42, repeats=repeats, repeats_below_best=below)
    assert needs == [rung["needs"] for rung in found[:3]]


def test_no_ladder_goes_deeper_than_a_dive_can_be_logged() -> None:
    assert rungs(best_m=199, start_m=195, goals={})[-1]["depth_m"] == 199  # 201 m could not be typed


def test_a_goal_at_the_end_of_the_site_that_the_season_is_too_short_for_is_not_called_too_deep() -> None:
    raw = season(level={"goals": {"aim_m": 46}}, site={"bottom_m": 47}, last_day=day(1))
    says = plan(raw)["disciplines"]["FIM"]["goals"]["aim_m"]["says"]
    assert says == "46 m (aim) is not reached in this season: the plan reaches 40 m"


# ---------------------------------------------------------------- time away, run-in, way back


def away(days: int, log: list[dict[str, Any]], **level: Any) -> dict[str, Any]:
    """The next dive of a season whose comfortable depth of 50 m is so many days old."""
    plain = {"start_m": None, "best_m": 60, "comfortable_m": 50, "comfortable_on": day(-days), "step_m": 1}
    return plan(season(level={**plain, **level}), log)["next"]


@pytest.mark.parametrize(("reached_m", "start_m"), [(40, 49), (39.9, 42)])
def test_a_dive_in_any_discipline_to_eight_tenths_of_the_comfortable_depth_ends_the_time_away(
    reached_m: float, start_m: float
) -> None:
    log = [dive(id="a", date=day(-10), discipline="CWT", reached_m=reached_m)]
    assert away(30, log)["target_m"] == start_m  # less the run-in after ten days


def test_a_double_step_never_passes_the_comfortable_depth() -> None:
    level = {"start_m": None, "best_m": 80, "comfortable_m": 42, "comfortable_on": day(-30), "step_m": 3}
    assert deeps(plan(season(level=level, rules=NO_SPACING)))[:4] == [33, 39, 42, 42]


@pytest.mark.parametrize(("days", "target_m"), [(4, 50), (5, 49)])
def test_the_run_in_begins_after_five_days(days: int, target_m: float) -> None:
    assert away(days, [])["target_m"] == target_m


def test_a_start_that_the_diver_set_has_no_run_in() -> None:
    assert deep(plan(season(closed_days=[day(at) for at in range(9)])), 9) == 40


@pytest.mark.parametrize(("why", "target_m"), [("sick", 38), ("ears", 40), ("weather", 42)])
def test_after_days_off_a_sick_diver_begins_two_rungs_shallower_and_one_with_bad_ears_one(
    why: str, target_m: float
) -> None:
    log = [*logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), word(day(3), no_diving=why)]
    found = plan(season(level={"best_m": 60}), log, today=3)
    assert (on(found, 3)["kind"], deep(found, 4), deep(found, 6)) == ("off", target_m, 42)


# ---------------------------------------------------------------- falling back


def test_a_dive_called_off_by_someone_else_changes_nothing() -> None:
    off = {"target_m": 40, "reached_m": 30, "turned_why": "called_off"}
    log = logged((0, "FIM", CLEAN), (1, "FIM", off), (3, "FIM", off))
    assert fim(plan(season(), log, today=4)) == (40, 1)


@pytest.mark.parametrize(("efforts", "target_m"), [((3, 4, 4), 42), ((2, 3, 4), 40), ((4, 3, 4), 42)])
def test_effort_rises_only_if_each_of_three_dives_was_harder_than_the_one_before(
    efforts: tuple[int, ...], target_m: float
) -> None:
    raw = season(level={"repeats": 3}, days_on=9, rules=NO_SPACING)
    log = logged(*((at, "FIM", {"target_m": 40, "effort": effort}) for at, effort in enumerate(efforts)))
    assert plan(raw, log, today=3)["next"]["target_m"] == target_m


def test_the_last_three_dives_on_a_rung_decide_and_no_earlier_one() -> None:
    log = logged((0, "FIM", HARD), (2, "FIM", CLEAN), (4, "FIM", CLEAN), (6, "FIM", HARD))
    raw = season(level={"repeats": 4}, days_on=1)
    assert fim(plan(raw, log, today=7)) == (40, 0)


# ---------------------------------------------------------------- harm


def test_a_second_loss_of_motor_control_on_the_28th_day_stands_the_diver_down() -> None:
    lmc = {"signs": ["lmc"]}
    log = logged((0, "FIM", {"target_m": 40, **lmc}), (28, "FIM", {"role": "drill", "reached_m": 20, **lmc}))
    assert plan(season(), log, today=28)["stand_down"]["until"] == day(35)


def test_of_two_events_the_shallower_one_limits() -> None:
    lmc = {"role": "drill", "signs": ["lmc"]}
    log = logged((0, "CNF", {"reached_m": 30, **lmc}), (0, "CNF", {"reached_m": 38, **lmc}))
    log.append({"id": "c", "kind": "clearance", "clearance": day(1), "by": "Dr. Invented"})
    assert plan(season(), log, today=1)["next"]["target_m"] == 26  # and not 28 m, 70 % of the rung


@pytest.mark.parametrize(("ago", "target_m"), [(28, 36), (29, 40)])
def test_an_event_of_the_last_28_days_before_the_season_limits_it(ago: int, target_m: float) -> None:
    log = logged((-ago, "FIM", {"target_m": 40, "signs": ["lmc"]}))
    assert plan(season(), log)["next"]["target_m"] == target_m


# ---------------------------------------------------------------- changes of the season, words for a day, drills


def test_a_change_leaves_the_days_before_it_and_holds_on_its_own_day() -> None:
    raw = changed(season(days_on=9, level={"repeats": 9}), 7, rules=NO_SPACING)
    kinds = [one["kind"] for one in plan(raw)["days"]][:12]
    assert kinds == ["deep"] * 3 + ["easy"] + ["deep"] * 3 + ["deep"] * 2 + ["rest"] + ["deep"] * 2


def test_a_changed_ladder_goes_on_by_depth_and_keeps_its_count_where_the_rung_is_the_same() -> None:
    log = logged((0, "FIM", CLEAN), (1, "FIM", CLEAN), (3, "FIM", {"target_m": 42}))
    raw = season()
    for step_m, standing in ((1, (42, 1)), (4, (40, 0))):
        other = {"disciplines": [{**raw["disciplines"][0], "step_m": step_m}]}
        assert fim(plan(changed(raw, 4, **other), log, today=4)) == standing


def test_a_start_given_anew_holds_from_the_day_of_the_change_on() -> None:
    raw = season()
    found = plan(changed(raw, 4, disciplines=[{**raw["disciplines"][0], "start_m": 30}]), [], today=0)
    assert [deep(found, at) for at in (3, 4)] == [42, 30]


@pytest.mark.parametrize(
    ("said", "target_m"),
    [({"hold": True}, 40), ({"shallower": 1}, 40), ({"shallower": 3}, 36), ({"main": "CWT"}, 40), ({}, 42)],
)
def test_a_word_for_a_day_makes_it_easier(said: dict[str, Any], target_m: float) -> None:
    log = [*logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), word(day(3), **said)]
    assert deep(plan(two(), log, today=2), 3) == target_m


def proposed_on_the_third_day(*made: dict[str, Any]) -> dict[str, Any]:
    log = [*logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), *made]
    return next(one for one in plan(two(), log, today=2)["days"] if one["date"] == day(3))


@pytest.mark.parametrize(
    ("cap", "target_m"),
    [
        ({"depth_m": 42}, 42), ({"depth_m": 41.9}, 40), ({"depth_m": 40, "discipline": "FIM"}, 40),
        ({"depth_m": 30, "discipline": "CWT"}, 42), ({"depth_m": 36, "answer": "accepted"}, 36),
        ({"depth_m": 36, "answer": "declined"}, 42),
    ],
)  # fmt: skip
def test_a_cap_of_a_coach_leads_to_the_deepest_rung_that_it_allows(cap: dict[str, Any], target_m: float) -> None:
    one = proposed_on_the_third_day(proposal(day(3), "cap", **cap))
    assert next(each["target_m"] for each in one["dives"] if each["role"] == "deep") == target_m
    assert all(each["target_m"] <= target_m for each in one["dives"])


def test_a_cap_above_every_rung_makes_an_easy_day_with_shallow_drills() -> None:
    one = proposed_on_the_third_day(proposal(day(3), "cap", depth_m=4))
    assert (one["kind"], one["why"]) == ("easy", "rest the ears (Mira Sand)")
    assert all(each["role"] == "drill" and each["target_m"] <= 4 for each in one["dives"])


def test_an_easy_day_of_a_coach_holds_on_each_of_its_days_until_it_is_declined() -> None:
    log = logged((0, "FIM", CLEAN), (1, "FIM", CLEAN))
    easy = proposal(day(3), "easy", to=day(4))
    held, freed = (plan(two(), [*log, {**easy, "answer": answer}], today=2) for answer in (None, "declined"))
    assert [one["kind"] for one in held["days"] if one["date"] in (day(3), day(4))] == ["easy", "easy"]
    assert freed == plan(two(), log, today=2)


def test_two_coaches_may_each_set_a_cap_and_the_shallower_holds_with_both_named() -> None:
    first, second = proposal(day(3), "cap", depth_m=40), proposal(day(3), "cap", depth_m=38, id="z", by="Odd")
    one = proposed_on_the_third_day(first, second)
    assert next(each["target_m"] for each in one["dives"] if each["role"] == "deep") == 38
    assert [each["by"] for each in one["proposed"]] == ["Mira Sand", "Odd"]


def test_a_dive_under_a_cap_counts_for_no_further_step() -> None:
    log = logged((0, "FIM", CLEAN), (1, "FIM", CLEAN))
    before, after = (
        [at for at in (deep(made, nth) for nth in range(3, 12)) if at is not None]
        for made in (plan(two(), [*log, *some], today=2) for some in ([], [proposal(day(3), "cap", depth_m=38)]))
    )
    assert after[:2] == [38, before[0]]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"not_ready": ["congestion"]}, "easy day: no deep dive today (blocked nose, ears or sinuses)"),
        ({"not_ready": ["alcohol", "fever"]},
         "easy day: no deep dive today (fever or illness, alcohol since yesterday evening)"),
        ({"easy": True}, "easy day, as you asked"),
    ],
)  # fmt: skip
def test_a_morning_without_a_deep_dive_leaves_technique_only_and_the_ladder_where_it_stands(
    said: dict[str, Any], why: str
) -> None:
    log = [*logged((0, "FIM", CLEAN), (1, "FIM", CLEAN))]
    before, after = (plan(two(), [*log, *more], today=2) for more in ([], [word(day(3), **said)]))
    on = next(one for one in after["days"] if one["date"] == day(3))
    assert (on["kind"], on["why"]) == ("easy", why)
    assert {one["role"] for one in on["dives"]} <= {"drill"}
    assert deep(after, 4) == deep(before, 3)  # the rung of that day comes a day later


@pytest.mark.parametrize("code", read_rulebook().texts["not_ready"])
def test_each_reason_of_the_morning_rules_out_a_deep_dive_whatever_else_is_said(code: str) -> None:
    """Nothing that a diver says beside it brings the deep dive back, not even a reason to keep the plan."""
    said = {"not_ready": [code], "easy": False, "not_easy_why": "feels fine", "sleep": 1, "fatigue": 1}
    made = plan(two(), [*logged((0, "FIM", CLEAN), (1, "FIM", CLEAN)), word(day(3), **said)], today=3)
    assert (deep(made, 3), on(made, 3)["kind"]) == (None, "easy")


def test_what_is_said_of_a_morning_is_of_that_day_only_however_long_the_word_holds() -> None:
    log = [*logged((0, "FIM", CLEAN)), word(day(3), to=day(6), hold=True, not_ready=["fever"])]
    kinds = [one["kind"] for one in plan(two(), log, today=2)["days"][3:5]]
    assert kinds == ["easy", "deep"]


def test_a_deep_dive_on_a_morning_that_ruled_it_out_is_flagged_and_does_not_move_the_ladder() -> None:
    log = [*logged((0, "FIM", CLEAN), (3, "FIM", {"target_m": 42})), word(day(3), not_ready=["fever"])]
    found = plan(two(), log, today=4)
    (done,) = next(one for one in found["days"] if one["date"] == day(3))["done"]
    assert "easy day: no deep dive today (fever or illness)" in done["flags"]
    assert "wins" not in done


def test_a_day_asked_to_stay_as_it_was_never_goes_back_to_a_rung_that_sent_the_diver_down() -> None:
    slow = {"target_m": 40, "signs": ["ears_slow"]}
    log = [*logged((0, "FIM", slow), (1, "FIM", slow)), word(day(3), hold=True)]
    assert deep(plan(season(), log, today=2), 3) == 38


def test_the_easy_drill_of_a_discipline_without_a_ladder_follows_the_shallowest_best() -> None:
    raw = two({"repeats": 9}, days_on=9, drill={"discipline": "CNF", "depth_m": 40, "dives": 1})
    assert on(plan(raw), 3)["dives"][0]["target_m"] == 26  # 60 % of 44 m is 26.4 m


def test_a_drill_by_a_share_follows_the_comfortable_depth_from_rung_to_rung() -> None:
    raw = season(level={"start_m": 30, "repeats": 2}, rules=NO_SPACING)
    for name in ("days_on", "days_off", "block_days", "break_days", "lead", "drill"):
        del raw[name]
    drills = [{"discipline": "FIM", "share": 0.5, "dives": 1, "focus": ""}]
    raw["blocks"] = [
        {
            "first_day": day(0), "last_day": day(34), "main": "FIM", "days_on": 2, "days_off": 1, "drills": drills,
        }
    ]  # fmt: skip
    found = plan(raw)
    assert [on(found, at)["dives"][-1]["target_m"] for at in (0, 1, 3, 4, 6)] == [15, 15, 15, 15, 16]
