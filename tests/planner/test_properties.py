"""What holds for every season and every log, checked against a second, plain reading of the rules."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given, seed, settings
from support.seasons import dive, seasons, sheet_of, stories

from webapp.planner.reader.ladder import read

Story = tuple[dict[str, Any], list[dict[str, Any]], str]
Plan = dict[str, Any]
Invariant = Callable[[Story, Plan], None]
INVARIANTS: list[Invariant] = []


def holds(invariant: Invariant) -> Invariant:
    """Have this looked at in every story."""
    INVARIANTS.append(invariant)
    return invariant


def ordinal(day: str) -> int:
    return date.fromisoformat(day).toordinal()


def deep_of(one: dict[str, Any]) -> dict[str, Any] | None:
    return next((each for each in one["dives"] if each["role"] == "deep" and "again" not in each), None)


@holds
def targets_stay_between_five_metres_and_the_bottom_less_one(story: Story, plan: Plan) -> None:
    sheet = story[0]
    most_m = sheet["site"]["bottom_m"] - 1
    for one in plan["days"]:
        deep = deep_of(one)
        for each in one["dives"]:
            assert each["target_m"] <= most_m
            assert deep is None or each is deep or each["role"] == "deep" or each["target_m"] < deep["target_m"]
        assert deep is None or deep["target_m"] >= 5


@holds
def only_dive_days_have_dives_and_a_deep_day_has_one_deep_dive_of_its_lead(story: Story, plan: Plan) -> None:
    sheet = story[0]
    for one, slot in zip(plan["days"], sheet["days"], strict=True):
        assert (one["kind"] in ("deep", "easy", "stand-down")) == (slot["kind"] == "dive")
        assert not one["dives"] or one["kind"] in ("deep", "easy")
        deeps = [each for each in one["dives"] if each["role"] == "deep" and "again" not in each]
        assert len(deeps) == (one["kind"] == "deep") or (not deeps and one["done"])  # another one was made instead
        assert all(each["discipline"] == slot["lead"] for each in deeps)


@holds
def planned_deep_dives_keep_the_spacing_from_every_deep_dive_before(story: Story, plan: Plan) -> None:
    """Looks back over each day on its own, without the reader's running state."""
    sheet, log, today = story
    dived: dict[int, float] = {}
    for record in log:
        if record.get("role") == "deep":
            n = ordinal(record["date"])
            dived[n] = max(dived.get(n, 0), record["reached_m"])
    for one in plan["days"]:
        deep, n = deep_of(one), ordinal(one["date"])
        earlier = [day for day in dived if day < n]
        if deep is not None and earlier:
            last = max(earlier)
            depth_m = max(deep["target_m"], dived[last])
            row = next(row for row in sheet["spacing"] if row["to_m"] is None or depth_m <= row["to_m"])
            in_a_row = next(count for count in range(99) if n - 1 - count not in dived)
            assert n - last >= row["min_days"]
            assert in_a_row < max(row["max_in_a_row"], 1)
        if deep is not None and one["date"] >= today and not one["done"]:
            dived[n] = deep["target_m"]


@holds
def nothing_is_planned_between_a_harm_and_its_clearance(story: Story, plan: Plan) -> None:
    sheet, log, _ = story
    harms = [
        (ordinal(one["date"]), max(sheet["signs"][sign]["days"] for sign in one["signs"]))
        for one in log
        if any(sheet["signs"][sign]["days"] for sign in one.get("signs", []))
    ]
    cleared = [ordinal(one["clearance"]) for one in log if "clearance" in one]
    for one in plan["days"]:
        n = ordinal(one["date"])
        for harm, days in harms:
            if harm < n and (n < harm + days or not any(harm < clear <= n for clear in cleared)):
                assert one["dives"] == []


@holds
def no_deep_dive_is_planned_in_the_three_days_after_an_lmc(story: Story, plan: Plan) -> None:
    sheet, log, _ = story
    days = sheet["verdicts"]["lmc"]["no_deep_days"]
    lmcs = [ordinal(one["date"]) for one in log if "lmc" in one.get("signs", []) and len(one["signs"]) == 1]
    for one in plan["days"]:
        if any(lmc < ordinal(one["date"]) <= lmc + days for lmc in lmcs):
            assert deep_of(one) is None


@holds
def the_order_in_which_records_arrive_changes_nothing(story: Story, plan: Plan) -> None:
    sheet, log, today = story
    assert plan == read(sheet, log[::-1], today)


@holds
def a_clean_dive_as_planned_moves_no_later_target(story: Story, plan: Plan) -> None:
    """The future is planned as if each dive goes clean, so when it does nothing changes but the words."""
    sheet, log, _ = story
    before = plan
    wanted = before["next"]
    if wanted is None or "again" in wanted or any(one.get("date", "") >= wanted["date"] for one in log):
        return
    done = dive(
        id="z", date=wanted["date"], at="23:00", discipline=wanted["discipline"],
        target_m=wanted["target_m"], reached_m=wanted["target_m"],
    )  # fmt: skip
    after = read(sheet, [*log, done], wanted["date"])
    for earlier, later in zip(before["days"], after["days"], strict=True):
        if earlier["date"] >= wanted["date"]:
            assert (earlier["kind"], deep_of(earlier) and deep_of(earlier)["target_m"]) == (
                later["kind"],
                deep_of(later) and deep_of(later)["target_m"],
            )


@settings(max_examples=150)
@given(seasons())
def test_a_season_dived_as_planned_drills_and_all_goes_as_it_was_planned(raw: dict[str, Any]) -> None:
    sheet, log = sheet_of(raw), list[dict[str, Any]]()
    for at, first in enumerate(read(sheet, [], raw["first_day"])["days"][:20]):
        today = read(sheet, log, first["date"])["days"][at]
        assert (first["kind"], targets(first)) == (today["kind"], targets(today))
        for target_m, discipline, role in targets(today):
            done = {"discipline": discipline, "role": role, "target_m": target_m, "reached_m": target_m}
            log.append(dive(id=f"d{len(log):03}", date=first["date"], **done))


def targets(one: dict[str, Any]) -> list[tuple[float, str, str]]:
    """The dives of a day as (target, discipline, role), in the order of diving."""
    return [(each["target_m"], each["discipline"], each["role"]) for each in one["dives"]]


@holds
def targets_of_a_discipline_rise_by_at_most_one_step_at_a_time(story: Story, plan: Plan) -> None:
    sheet = story[0]
    last: dict[str, float] = {}
    for one in plan["days"]:
        deep = deep_of(one)
        if deep:
            depths = [rung["depth_m"] for rung in sheet["disciplines"][deep["discipline"]]["rungs"]]
            at = depths.index(deep["target_m"])
            assert deep["discipline"] not in last or at <= depths.index(last[deep["discipline"]]) + 1
            last[deep["discipline"]] = deep["target_m"]


@holds
def the_plan_never_says_that_anything_is_safe_or_a_go(story: Story, plan: Plan) -> None:
    said = json.dumps(plan).lower()
    for word in ("safe to", '"go"', "cleared to dive", "you can dive", "green"):
        assert word not in said


@pytest.mark.parametrize("part", range(2))
def test_every_invariant_holds_for_any_season_and_log(part: int) -> None:
    """One drawing for all of them: it takes far longer than to look at it. In parts, for as many processes."""

    @seed(part)
    @settings(max_examples=150, derandomize=False, database=None, print_blob=True)
    @given(stories())
    def look(story: Story) -> None:
        plan = read(*story)
        for invariant in INVARIANTS:
            invariant(story, plan)

    look()
    assert len(INVARIANTS) == 9
