"""What holds for every season and every log, checked against a second, plain reading of the rules."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from support.seasons import CHANGES, PROPOSED, dive, proposal, seasons, sheet_of, stories, word

from webapp.planner.reader.ladder import read
from webapp.records.changes import raw_on

Story = tuple[dict[str, Any], list[dict[str, Any]], str]
Plan = dict[str, Any]
Invariant = Callable[[Story, Plan], None]
INVARIANTS: list[Invariant] = []
WORDS_OF_A_DAY = [
    {"hold": True}, {"shallower": 1}, {"shallower": 3}, {"main": "CWT"}, {"main": "FIM"}, {"taxing": True},
    {"not_ready": ["fever"]}, {"easy": True}, {"no_diving": "sick"}, {"hold": True, "shallower": 2, "main": "CNF"},
]  # fmt: skip


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
    for one in plan["days"]:
        deep, most_m = deep_of(one), raw_on(story[0].raw, one["date"])["site"]["bottom_m"] - 1
        for each in one["dives"]:
            assert each["target_m"] <= most_m
            assert deep is None or each is deep or each["role"] == "deep" or each["target_m"] < deep["target_m"]
        assert deep is None or deep["target_m"] >= 5 or "your deepest goal" in one["why"]


def said_on(log: list[dict[str, Any]], day: str) -> list[dict[str, Any]]:
    """The diver's words that hold for a day."""
    return [one for one in log if one["kind"] == "day" and one["date"] <= day <= (one["to"] or one["date"])]


@holds
def only_dive_days_have_dives_and_a_deep_day_has_one_deep_dive_of_its_main_discipline(story: Story, plan: Plan) -> None:
    sheet, log, _ = story
    for one, slot in zip(plan["days"], sheet["days"], strict=True):
        assert (one["kind"] in ("deep", "easy", "stand-down", "off")) == (slot["kind"] == "dive")
        assert not one["dives"] or one["kind"] in ("deep", "easy")
        deeps = [each for each in one["dives"] if each["role"] == "deep" and "again" not in each]
        assert len(deeps) == (one["kind"] == "deep") or (not deeps and one["done"])  # another one was made instead
        mains = {slot["lead"], *(word["main"] for word in said_on(log, one["date"]))}
        assert all(each["discipline"] in mains for each in deeps)


@holds
def a_day_without_diving_by_the_divers_word_has_no_dives(story: Story, plan: Plan) -> None:
    for one in plan["days"]:
        if any(word["no_diving"] for word in said_on(story[1], one["date"])):
            assert one["dives"] == []


@holds
def planned_deep_dives_keep_the_spacing_from_every_deep_dive_before(story: Story, plan: Plan) -> None:
    """Looks back over each day on its own, without the reader's running state."""
    sheet, log, today = story
    dived: dict[int, float] = {}
    for record in log:
        if record.get("role") == "deep" and record["reached_m"] >= 0.5 * (record["target_m"] or 0):
            n = ordinal(record["date"])
            dived[n] = max(dived.get(n, 0), record["reached_m"])
    for one in plan["days"]:
        deep, n = deep_of(one), ordinal(one["date"])
        earlier = [day for day in dived if day < n]
        changes_later = any(one["date"] < past["until"] for past in sheet["past"])  # other rows hold until then
        if deep is not None and earlier and not changes_later:
            streak = [n - 1 - count for count in range(99) if all(n - 1 - back in dived for back in range(count + 1))]
            most_m = max([deep["target_m"], *(dived[day] for day in streak)])
            assert all(n - day >= row_of(sheet, dived[day])["min_days"] for day in earlier)
            assert n - max(earlier) >= row_of(sheet, deep["target_m"])["min_days"]
            assert len(streak) < max(row_of(sheet, most_m)["max_in_a_row"], 1)
        if deep is not None and one["date"] >= today and not one["done"]:
            dived[n] = deep["target_m"]


def row_of(sheet: dict[str, Any], depth_m: float) -> dict[str, Any]:
    return next(row for row in sheet["spacing"] if row["to_m"] is None or depth_m <= row["to_m"])


@holds
def nothing_is_planned_between_a_harm_and_its_clearance(story: Story, plan: Plan) -> None:
    sheet, log, _ = story
    harms = [
        (ordinal(one["date"]), max(sheet["signs"][sign]["days"] for sign in one["signs"]))
        for one in log
        if any(sheet["verdicts"][sheet["signs"][sign]["verdict"]]["stands_down"] for sign in one.get("signs", []))
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


@settings(max_examples=100)
@given(stories(), st.integers(1, 30), CHANGES, st.integers(0, 10))
def test_a_later_change_of_the_season_alters_no_day_before_it(story: Story, at: int, change: Any, after: int) -> None:
    raw, log = story[0].raw, story[1]
    if raw.get("changes"):
        return
    first = date.fromisoformat(raw["first_day"])
    on, last = first + timedelta(days=at), date.fromisoformat(raw["last_day"])
    if on > last:
        return
    changed = sheet_of({**raw, "changes": [{"from": on.isoformat(), "set": change(raw), "why": "invented"}]})
    today = (on + timedelta(days=after)).isoformat()
    before, later = read(story[0], log, today), read(changed, log, today)
    assert before["days"][:at] == later["days"][:at]


@settings(max_examples=150)
@given(stories(), st.integers(0, 20), st.sampled_from(WORDS_OF_A_DAY))
def test_what_a_diver_says_of_a_day_never_deepens_its_target(story: Story, at: int, fields: dict[str, Any]) -> None:
    sheet, log, today = story
    slots = sheet["days"]
    on = slots[min(at, len(slots) - 1)]["date"]
    plain = [one for one in log if not (one["kind"] == "day" and one["date"] <= on <= (one["to"] or on))]
    before = read(sheet, plain, today)
    after = read(sheet, [*plain, word(on, **fields)], today)
    was, now = (next(deep_of(one) for one in plan["days"] if one["date"] == on) for plan in (before, after))
    assert now is None or (was is not None and now["target_m"] <= was["target_m"])


Proposals = list[dict[str, Any]]


def without_proposals(log: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [one for one in log if one["kind"] != "proposal"]


@settings(max_examples=200)
@given(stories(), PROPOSED)
def test_proposals_of_a_coach_never_deepen_a_dive_on_their_days(story: Story, made: Proposals) -> None:
    """Each day is compared as the log before it leaves it: what an easy day moves to later days is no deeper dive."""
    sheet, log, _ = story
    plain = without_proposals(log)
    for day in {one["date"] for one in made} & {slot["date"] for slot in sheet["days"]}:
        before = [one for one in plain if one.get("date", "") < day]
        was, now = (on_day(read(sheet, some, day), day) for some in (before, [*before, *for_one_day(made, day)]))
        assert now["kind"] in (was["kind"], "easy")
        for each in now["dives"]:
            same = [one["target_m"] for one in was["dives"] if alike(one) == alike(each)]
            assert was["kind"] != now["kind"] or each["target_m"] <= max(same)
            assert was["kind"] == now["kind"] or each["target_m"] <= max(one["target_m"] for one in was["dives"])


def for_one_day(made: Proposals, day: str) -> Proposals:
    return [{**one, "date": day, "to": None} for one in made if one["date"] <= day <= (one["to"] or one["date"])]


def on_day(plan: Plan, day: str) -> dict[str, Any]:
    return next(one for one in plan["days"] if one["date"] == day)


def alike(one: dict[str, Any]) -> tuple[str, str]:
    return one["discipline"], one["role"]


@holds
def no_planned_dive_passes_the_depth_that_a_coach_proposed_and_a_day_proposed_as_easy_has_no_deep_dive(
    story: Story, plan: Plan
) -> None:
    for one in plan["days"]:
        made = [each for each in story[1] if each["kind"] == "proposal" and each["answer"] != "declined"]
        made = [each for each in made if each["date"] <= one["date"] <= (each["to"] or each["date"])]
        assert deep_of(one) is None or all(each["what"] != "easy" for each in made)
        for each in (each for each in made if each["what"] == "cap"):
            names = [each["discipline"]] if each["discipline"] else [dive["discipline"] for dive in one["dives"]]
            assert all(dive["target_m"] <= each["depth_m"] for dive in one["dives"] if dive["discipline"] in names)


@settings(max_examples=100)
@given(stories(), PROPOSED)
def test_proposals_that_the_diver_declined_change_nothing(story: Story, made: Proposals) -> None:
    sheet, log, today = story
    plain = without_proposals(log)
    assert read(sheet, plain, today) == read(sheet, [*plain, *({**one, "answer": "declined"} for one in made)], today)


@settings(max_examples=100)
@given(stories(), st.sampled_from(["focus", "setting", "comment"]))
def test_a_proposed_focus_setting_or_comment_waits_for_the_diver(story: Story, what: str) -> None:
    sheet, log, today = story
    made = proposal(today, what, discipline="FIM", setting="step_m", value=5, depth_m=3)
    assert read(sheet, log, today) == read(sheet, [*log, made], today)


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
def no_target_passes_the_deepest_goal_nor_the_best_by_much_without_one(story: Story, plan: Plan) -> None:
    raw = story[0].raw
    levels = [
        level for one in (raw, *(c["set"] for c in raw.get("changes", []))) for level in one.get("disciplines", [])
    ]
    for one in plan["days"]:
        for each in one["dives"]:
            own = [level for level in levels if level["discipline"] == each["discipline"]]
            if own and each["role"] == "deep":
                ends = [max([*level["goals"].values()] or [level["best_m"] + 5]) for level in own]
                assert each["target_m"] <= max(ends)


@holds
def no_step_is_longer_than_the_pace_allows_at_the_depth_to_which_it_leads(story: Story, plan: Plan) -> None:
    for ladder in story[0]["disciplines"].values():
        depths = [rung["depth_m"] for rung in ladder["rungs"]]
        for before, after in pairwise(depths):
            share = round(after / ladder["best_m"], 9)  # 26.6 m is 95 % of 28 m, though not as floats
            assert after - before <= (10 if share <= 0.8 else 5 if share <= 0.95 else 3) + 1e-6


@holds
def a_target_deeper_than_the_best_says_so(story: Story, plan: Plan) -> None:
    for one in plan["days"]:
        for each in one["dives"]:
            ladder = story[0]["disciplines"].get(each["discipline"])
            if (
                one["date"] >= story[2]
                and ladder
                and each["target_m"] > plan["disciplines"][each["discipline"]]["best_m"]
            ):
                assert each["new_best"] is True


@holds
def beyond_everything_dived_in_the_season_a_target_rises_by_one_rung_at_a_time(story: Story, plan: Plan) -> None:
    sheet, most = story[0], dict[str, float]()
    if sheet["past"] or any(one["kind"] == "day" for one in story[1]):
        return
    for one in plan["days"]:
        deep = deep_of(one)
        if deep:
            ladder = sheet["disciplines"][deep["discipline"]]
            depths = [rung["depth_m"] for rung in ladder["rungs"]]
            before = max(most.get(deep["discipline"], 0), depths[ladder["stands"]])
            assert depths.index(deep["target_m"]) <= depths.index(before) + 1
            most[deep["discipline"]] = max(before, deep["target_m"])


@holds
def the_plan_never_says_that_anything_is_safe_or_a_go(story: Story, plan: Plan) -> None:
    said = json.dumps(plan).lower()
    for words in ("safe to", '"go"', "cleared to dive", "you can dive", "green"):
        assert words not in said


@pytest.mark.parametrize("part", range(2))
def test_every_invariant_holds_for_any_season_and_log(part: int) -> None:
    """One drawing for all of them: it takes far longer than to look at it. In parts, for as many processes."""

    @seed(part)
    @settings(
        max_examples=150, derandomize=False, database=None, print_blob=True, suppress_health_check=list(HealthCheck)
    )
    @given(stories())
    def look(story: Story) -> None:
        plan = read(*story)
        for invariant in INVARIANTS:
            invariant(story, plan)

    look()
    assert len(INVARIANTS) == 14
