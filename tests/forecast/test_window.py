"""Is the window enough: each change is the whole season planned anew, sorted by effect, with what it costs."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from support.seasons import day, dive
from support.story import season

from webapp.forecast.forecast import COARSE, forecast_of
from webapp.forecast.variants import Variant, rhythm, variants_of
from webapp.forecast.window import Replan, Window, enough, from_plan, is_by_plan, window_of
from webapp.planner.reader.ladder import read
from webapp.planner.together import sheet_of
from webapp.records.season import season_and_book
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

Json = dict[str, Any]
BOOK = read_rulebook()
WORDS = BOOK.texts["window"]
BLOCKS = [
    {"first_day": day(0), "last_day": day(13), "main": "FIM", "days_on": 2, "days_off": 1, "drills": []},
    {"first_day": day(16), "last_day": day(29), "main": "CWT", "days_on": 2, "days_off": 2, "drills": []},
]
CWT = {"discipline": "CWT", "best_m": 40, "start_m": 38, "step_m": 2, "repeats": 2, "goals": {"aim_m": 44}}


def typed(**fields: Any) -> Json:
    """A season with two typed blocks of different main disciplines."""
    raw = {name: value for name, value in season().items() if name not in
           ("days_on", "days_off", "block_days", "break_days", "lead", "drill")}  # fmt: skip
    levels = [*raw["disciplines"], CWT]
    return {**raw, "last_day": day(34), "blocks": BLOCKS, "disciplines": levels, **fields}


def planned(log: list[Json], today: str, *, by_plan: bool = True) -> Replan:
    """Return the function that plans and forecasts a season."""

    def replan(raw: Json) -> tuple[Json, Json, Json]:
        checked, own = season_and_book(raw, BOOK)
        rules = checked.changes[-1].rules if checked.changes else own
        sheet = sheet_of(checked, own)
        plan = read(sheet, log, today)
        return sheet, plan, from_plan(plan) if by_plan else forecast_of(sheet, log, today, plan, rules, COARSE)

    return replan


def asked(raw: Json, today: int = 0, log: list[Json] | None = None, *, by_plan: bool = True) -> Window:
    on = day(today)
    return window_of(raw, variants_of(raw, BOOK, on), planned(log or [], on, by_plan=by_plan), on, BOOK)


def variants(raw: Json, today: int) -> dict[str, Json]:
    return {one.key: one.raw for one in variants_of(raw, BOOK, day(today))}


def clean(raw: Json, dives: int) -> list[Json]:
    """Return a log of the first deep dives of a season, each clean and by the plan."""
    sheet, log = sheet_of(*season_and_book(raw, BOOK)), []
    for at in range(dives):
        deep = read(sheet, log, log[-1]["date"] if log else day(0))["next"]
        log.append(dive(id=f"d{at:02}", date=deep["date"], target_m=deep["target_m"], reached_m=deep["target_m"]))
    return log


def test_one_more_week_makes_the_season_and_its_last_block_longer() -> None:
    even, own = variants(season(), -5)["week"], variants(typed(), -5)["week"]
    assert (even["last_day"], even["blocks"][-1]["last_day"]) == (day(41), day(41))
    assert (own["last_day"], own["blocks"][-1]["last_day"]) == (day(41), day(36))
    assert own["blocks"][0] == BLOCKS[0]


def test_before_the_season_it_is_changed_from_the_start_and_later_from_tomorrow_on() -> None:
    assert "changes" not in variants(season(), -1)["step_longer"]
    (change,) = variants(season(), 4)["step_longer"]["changes"]
    assert change["from"] == day(5)
    assert [level["step_m"] for level in change["set"]["disciplines"]] == [2.5]
    assert variants(season(), 35) == {}  # it is over


def test_step_and_clean_dives_stay_within_the_bounds_of_the_rulebook() -> None:
    def level(key: str, **fields: Any) -> Json | None:
        found = variants(season(level=fields), -1).get(key)
        return found and found["disciplines"][0]

    assert level("step_shorter", step_m=0.5) is None
    assert level("step_longer", step_m=10) is None
    assert level("step_shorter", step_m=2)["step_m"] == 1.5
    # beyond the best a depth needs the book's two clean dives whatever the season says
    assert level("repeats_fewer", repeats=2, repeats_below_best=1) is None
    fewer = level("repeats_fewer", repeats=3, repeats_below_best=2)
    assert (fewer["repeats"], fewer["repeats_below_best"]) == (2, 1)
    # what a level leaves to the book stays so, but the speed below the best never follows the other one
    book = level("repeats_fewer", step_m=None, repeats=None)
    assert (book["step_m"], book["repeats"], book["repeats_below_best"]) == (None, 2, 1)
    assert level("step_longer", step_m=None, repeats=None)["repeats"] is None
    assert level("repeats_fewer", repeats=3, repeats_below_best=None)["repeats_below_best"] == 2
    more = level("repeats_more", repeats=3, repeats_below_best=2)
    assert (more["repeats"], more["repeats_below_best"]) == (4, 3)


def test_no_rhythm_without_a_day_off_is_proposed_and_blocks_that_are_over_stay() -> None:
    found = variants(typed(), 15)
    (change,) = found["off_fewer"]["changes"]
    assert [block["days_off"] for block in change["set"]["blocks"]] == [1, 1]
    (change,) = found["on_more"]["changes"]
    assert [block["days_on"] for block in change["set"]["blocks"]] == [2, 3]
    one_off = typed(blocks=[{**block, "days_off": 1} for block in BLOCKS])
    assert "off_fewer" not in variants(one_off, -1)
    assert [block["days_on"] for block in rhythm(typed(), BOOK, day(15), 4)] == [2, 4]


def test_blocks_to_come_are_swapped_and_one_that_has_begun_is_not() -> None:
    assert [block["main"] for block in variants(typed(), -1)["order"]["blocks"]] == ["CWT", "FIM"]
    assert "order" not in variants(typed(), 3)
    assert "order" not in variants(season(), -1)


def test_a_later_start_moves_every_day_and_counts_no_time_away() -> None:
    raw = typed()
    raw["disciplines"][0] = {
        **raw["disciplines"][0], "start_m": None, "comfortable_m": 42, "comfortable_on": day(-60)
    }  # fmt: skip
    later = variants(raw, -5)["later"]
    assert (later["first_day"], later["last_day"]) == (day(7), day(41))
    assert [block["first_day"] for block in later["blocks"]] == [day(7), day(23)]
    assert later["disciplines"][0]["comfortable_on"] == day(6)
    assert "later" not in variants(raw, 0)


def test_a_part_that_a_later_change_sets_is_left_alone() -> None:
    raw = {**season(), "changes": [{"from": day(9), "set": {"disciplines": season()["disciplines"]}}]}
    raw["changes"][0]["set"]["disciplines"][0]["goals"] = {"aim_m": 52}
    assert {"step_longer", "repeats_more"} & set(variants(raw, 3)) == set()
    assert "on_more" in variants(raw, 3)


@pytest.mark.parametrize("today", [-3, 4])
def test_every_change_is_a_season_that_the_checks_accept_and_says_what_it_costs(today: int) -> None:
    for raw in (season(), typed()):
        for one in variants_of(raw, BOOK, day(today)):
            season_and_book(one.raw, BOOK)
            assert one.says
            assert one.costs
            assert "{" not in one.says + one.costs
    assert "Less time at each depth" in WORDS["variant"]["repeats_fewer"]["costs"]
    assert "Less rest" in WORDS["variant"]["on_more"]["costs"]


def test_what_brings_the_goal_nearest_stands_first_and_what_delays_it_last() -> None:
    found = asked(season())
    earlier = [one.earlier for one in found.moved]
    assert earlier == sorted(earlier, reverse=True)
    days = {one.key: one.earlier for one in found.moved}
    assert days["step_longer"] > 0 > days["repeats_more"]
    assert days["week"] == 0  # a goal that is reached in time is not reached sooner by days after it
    by_hand = {key: aim(raw) for key, raw in variants(season(), 0).items()}
    before = aim(season())
    assert {key: (before - on).days for key, on in by_hand.items()} == days


def aim(raw: Json) -> date:
    return date.fromisoformat(planned([], day(0))(raw)[1]["disciplines"]["FIM"]["goals"]["aim_m"]["on"])


def test_where_no_change_reaches_the_goal_it_says_so_and_else_names_those_that_do() -> None:
    far = season(level={"goals": {"aim_m": 57}}, last_day=day(12))
    assert asked(far).says == [
        "FIM aim of 57 m: the plan does not reach it, even if every dive is clean. " + WORDS["none_reach"],
        WORDS["few_says"],
    ]
    near = season(last_day=day(8))
    says = asked(near).says[0]
    assert WORDS["none_reach"] not in says
    assert "it is reached with: 7 more days at the end" in says


def test_the_plan_alone_tells_whether_the_days_are_enough_and_how_many_are_left_after_the_goal() -> None:
    def says(last: int, **level: Any) -> list[str]:
        plan = planned([], day(0))(season(last_day=day(last), level=level))[1]
        return enough(plan, day(0), BOOK)

    plan = planned([], day(0))(season())[1]
    on = plan["disciplines"]["FIM"]["goals"]["aim_m"]["on"]
    left = [one["date"] for one in plan["days"] if one["date"] > on and deep(one)]
    (told,) = enough(plan, day(0), BOOK)
    assert told == asked(season()).says[0]
    assert told.endswith(WORDS["after_some"].format(name="FIM", days=f"{len(left)} days"))
    ends = (date.fromisoformat(on) - date.fromisoformat(day(0))).days
    assert says(ends)[0].endswith(WORDS["after_none"].format(name="FIM"))
    assert says(ends - 1) == [WORDS["not_reached"].format(name="FIM", goal="aim", depth="50")]


def test_a_plan_that_waits_for_a_clearance_or_has_no_goal_left_says_nothing_of_the_days() -> None:
    bad = dive(id="bad", date=day(0), target_m=40, reached_m=40, signs=["blackout"])
    for today in (day(0), day(1)):
        assert enough(planned([bad], today)(season())[1], today, BOOK) == []
    raw = season(level={"goals": {"aim_m": 41}})
    log = clean(raw, 4)
    assert enough(planned(log, day(20))(raw)[1], day(20), BOOK) == []
    assert enough(planned([], day(35))(season())[1], day(35), BOOK) == []


def deep(one: Json) -> bool:
    return any(dive["role"] == "deep" and dive["discipline"] == "FIM" for dive in one["dives"])


def test_nothing_is_compared_while_nothing_is_forecast_or_no_goal_is_open() -> None:
    bad = dive(id="bad", date=day(0), target_m=40, reached_m=40, signs=["blackout"])
    stopped = asked(season(), 1, [bad], by_plan=False)
    assert (stopped.none_because, stopped.moved) == (BOOK.texts["outlook"]["none_stand_down"], ())
    raw = season(level={"goals": {"aim_m": 41}})
    reached = clean(raw, 4)
    after = (date.fromisoformat(reached[-1]["date"]) - date.fromisoformat(day(0))).days + 1
    assert asked(raw, after, reached).none_because == WORDS["none_left"]


def test_a_short_log_gives_dates_alone_as_the_forecast_itself_would() -> None:
    _, plan, forecast = planned([], day(0), by_plan=False)(season())
    assert is_by_plan(plan, forecast, day(0))
    assert from_plan(planned([], day(0))(season())[1])["disciplines"]["FIM"]["goals"] == [
        {name: goal[name] for name in ("name", "depth_m", "if_clean_on", "chance", "likely_on")}
        for goal in forecast["disciplines"]["FIM"]["goals"]
    ]
    found = asked(season())
    assert found.says[-1] == WORDS["few_says"]
    assert not found.has_chance
    told = {said for one in found.moved for row in (*one.rows, *one.seen) for said in (row.before, row.after)}
    assert all(said == "not reached" or re.fullmatch(r"\d+ [A-Z][a-z]+", said) for said in told)


def test_with_dives_enough_the_chance_comes_first_in_the_order() -> None:
    raw = season(last_day=day(49), block_days=50, level={"best_m": 44, "goals": {"aim_m": 56}})
    log = clean(raw, 11)
    today = (date.fromisoformat(log[-1]["date"]) - date.fromisoformat(day(0))).days + 1
    found = asked(raw, today, log, by_plan=False)
    gains = [one.gain for one in found.moved]
    assert gains == sorted(gains, reverse=True)
    assert gains[0] > 0
    assert {one.key: one.gain for one in found.moved}["week"] > 0
    assert found.has_chance
    assert found.goals[0][2].endswith("%")
    assert all("%" in row.before for one in found.moved for row in one.rows)


def test_what_raises_the_chance_stands_before_what_brings_the_date_nearer() -> None:
    def end(on: str, chance: float) -> Json:
        goal = {"name": "aim", "depth_m": 50, "if_clean_on": on, "chance": chance, "likely_on": None}
        return {"none_because": None, "disciplines": {"FIM": {"goals": [goal]}}}

    ends = {"now": end(day(20), 0.4), "sooner": end(day(10), 0.5), "likelier": end(day(19), 0.7)}
    plan = planned([], day(0))(season())[1]
    changes = [Variant(key, {"key": key}, key, "", None, day(0)) for key in ("sooner", "likelier")]
    found = window_of({"key": "now"}, changes, lambda raw: ({}, plan, ends[raw["key"]]), day(0), BOOK)
    assert [(one.key, one.gain, one.earlier) for one in found.moved] == [("likelier", 0.3, 1), ("sooner", 0.1, 10)]


def test_a_goal_out_of_the_plans_reach_needs_no_forecast_and_one_in_its_reach_does() -> None:
    raw = season(last_day=day(49), block_days=50, level={"best_m": 44, "goals": {"floor_m": 44, "aim_m": 57}})
    log = clean(raw, 11)
    for last, answers in ((day(24), True), (day(49), False)):
        _, plan, forecast = planned(log, log[-1]["date"], by_plan=False)({**raw, "last_day": last})
        assert is_by_plan(plan, forecast, log[-1]["date"]) is answers
        chances = [[goal["chance"] for goal in one["disciplines"]["FIM"]["goals"]]
                   for one in (forecast, from_plan(plan, forecast))]  # fmt: skip
        assert (chances[0] == chances[1] == [None, 0.0]) is answers


def test_a_change_that_the_checks_refuse_is_left_out() -> None:
    def refusing(raw: Json) -> tuple[Json, Json, Json]:
        if raw["last_day"] > day(34):
            raise Refused([])
        return planned([], day(-1))(raw)

    raw = season()
    found = window_of(raw, variants_of(raw, BOOK, day(-1)), refusing, day(-1), BOOK)
    assert "week" not in {one.key for one in found.moved}
    assert len(found.moved) > 1
