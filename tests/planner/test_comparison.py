"""Two plans side by side: deep days, last targets, goals, and the targets of days gone by."""

from __future__ import annotations

from typing import Any

from support.seasons import day, dive, sheet_of
from support.story import season

from webapp.planner.comparison import Row, compared, deep_days, idle_since, past_targets
from webapp.planner.reader.ladder import read


def plan(today: int, log: Any = (), **changes: Any) -> dict[str, Any]:
    return read(sheet_of({**season(), **changes}), list(log), day(today))


def test_a_plan_beside_itself_says_the_same_twice_and_has_no_past_that_differs() -> None:
    one = plan(3)

    assert all(row.before == row.after for row in compared(one, one, day(3)))
    assert past_targets(one, one, day(3)) == []


def test_a_shorter_season_has_fewer_deep_days_and_shallower_last_targets() -> None:
    rows = {row.what: row for row in compared(plan(0), plan(0, last_day=day(9)), day(0))}

    assert int(rows["Deep days"].before) > int(rows["Deep days"].after)
    assert rows["FIM: last target"].before != rows["FIM: last target"].after
    assert rows["FIM: aim"].after.endswith("not reached")


def test_a_discipline_that_only_one_of_the_plans_has_stands_with_a_dash() -> None:
    levels = [*season()["disciplines"], {"discipline": "CWT", "best_m": 50, "start_m": 40, "goals": {"aim_m": 48}}]
    two = plan(0, disciplines=levels, lead=["FIM", "CWT"], block_days=15)
    rows = [row for row in compared(two, plan(0), day(0)) if row.what.startswith("CWT")]

    assert [row.what for row in rows] == ["CWT: last target", "CWT: aim"]
    assert all(row.before != "–" and row.after == "–" for row in rows)


def test_days_that_were_only_planned_and_are_past_are_not_used() -> None:
    log = [dive(id="a", date=day(0), target_m=40, reached_m=40)]

    assert deep_days(plan(5, log), day(5)) < deep_days(plan(0), day(0))
    assert deep_days(plan(5, log), day(0)) > deep_days(plan(5, log), day(5))


def test_past_targets_that_differ_are_listed_with_both_and_today_only_once_it_has_begun() -> None:
    log = [dive(id="a", date=day(1), target_m=40, reached_m=40)]
    levels = [{**level, "start_m": 36} for level in season()["disciplines"]]

    assert past_targets(plan(1), plan(1, disciplines=levels), day(1)) == [Row(day(0), "FIM 40 m", "FIM 36 m")]
    begun = past_targets(plan(1, log), plan(1, log, disciplines=levels), day(1))
    assert [row.what for row in begun] == [day(0), day(1)]


def test_a_plan_waits_since_the_day_after_the_last_dive_once_a_deep_day_was_left_out() -> None:
    log = [dive(id="a", date=day(0), target_m=40, reached_m=40)]

    assert idle_since(plan(1, log), day(1)) is None
    assert idle_since(plan(7, log), day(7)) == day(1)
    assert idle_since(plan(7), day(7)) == day(0)
