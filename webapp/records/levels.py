"""The strict check of where a diver stands in each discipline, and of their goals in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..rulebook.checks import Faults, show
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES, GOALS, Level

LEVEL_FIELDS = (
    "discipline", "best_m", "comfortable_m", "comfortable_on", "start_m", "step_m", "repeats",
    "repeats_below_best", "goals",
)  # fmt: skip


CAPPED_EDITION = 1  # it took a start depth of any length beyond the best: what was saved then goes on, cut


def check_levels(
    raw: object, first_day: str | None, book: Rulebook, faults: Faults, edition: int | None = None
) -> tuple[Level, ...]:
    """Return where the diver stands in each discipline; note every fault with its field `disciplines[0].…`.

    `edition` is that of the rulebook with which the season was made.
    """
    if not isinstance(raw, list) or not raw:
        faults.add("disciplines", "is missing: at least one discipline")
        return ()
    levels = tuple(_level(level, f"disciplines[{index}]", book, faults, edition) for index, level in enumerate(raw))
    names = [level.discipline for level in levels]
    for index, name in enumerate(names):
        if name is not None and name in names[:index]:
            faults.add(f"disciplines[{index}].discipline", f"{name} is named twice")
    _check_away(levels, first_day, faults)
    return levels


def _level(raw: object, field: str, book: Rulebook, faults: Faults, edition: int | None) -> Level:
    plain, depth_m = faults.group(raw, field, LEVEL_FIELDS), book.limit("depth_m")
    given = {name: value for name, value in plain.items() if value is not None}
    step_m, repeats = (given.get(name, book.value(f"ladder.{name}")) for name in ("step_m", "repeats"))
    # a season that names one number of clean dives means it for every rung: that was the only one there was
    below = given.get("repeats_below_best", given.get("repeats", book.value("ladder.repeats_below_best")))
    on = given.get("comfortable_on")
    level = Level(
        discipline=faults.choice(given.get("discipline"), f"{field}.discipline", DISCIPLINES),
        best_m=faults.number(given.get("best_m"), f"{field}.best_m", *depth_m),
        comfortable_m=faults.optional(given.get("comfortable_m"), f"{field}.comfortable_m", *depth_m),
        comfortable_on=None if on is None else check_day(on, f"{field}.comfortable_on", book, faults),
        start_m=faults.optional(given.get("start_m"), f"{field}.start_m", *depth_m),
        step_m=faults.number(step_m, f"{field}.step_m", *book.limit("step_m")),
        repeats=faults.number(repeats, f"{field}.repeats", *book.limit("repeats"), whole=True),
        repeats_below_best=faults.number(below, f"{field}.repeats_below_best", *book.limit("repeats"), whole=True),
        goals=_goals(given.get("goals"), f"{field}.goals", book, faults),
    )
    if edition == CAPPED_EDITION:
        level = _capped(level, book)
    _check_start(given, level, field, book, faults)
    return level


def _capped(level: Level, book: Rulebook) -> Level:
    """Return a level whose start is cut to the deepest that its best allows."""
    if level.start_m is None or level.best_m is None:
        return level
    most_m = round(level.best_m + book.value("start.most_beyond_best_m"), 2)
    return replace(level, start_m=min(level.start_m, most_m))


def _check_start(given: Mapping[str, Any], level: Level, field: str, book: Rulebook, faults: Faults) -> None:
    wanted = {"comfortable_m": "a comfortable depth", "comfortable_on": "the date of that dive"}
    for name, what in wanted.items():
        if "start_m" not in given and name not in given:
            faults.add(f"{field}.{name}", f"is missing: {what}, or a start depth")
    if level.comfortable_m and level.best_m and level.comfortable_m > level.best_m:
        faults.add(f"{field}.comfortable_m", "is deeper than the best")
    most_m = book.value("start.most_beyond_best_m")
    if level.start_m and level.best_m and level.start_m > level.best_m + most_m:
        faults.add(f"{field}.start_m", f"is more than {show(most_m)} m deeper than the best of {show(level.best_m)} m")


def _check_away(levels: tuple[Level, ...], first_day: str | None, faults: Faults) -> None:
    """Note each comfortable dive after the first day: the season starts from it, so it must come before."""
    for index, level in enumerate(levels):
        if first_day and level.comfortable_on and level.comfortable_on > first_day:
            faults.add(f"disciplines[{index}].comfortable_on", "is after the first day of the season")


def _goals(raw: object, field: str, book: Rulebook, faults: Faults) -> tuple[tuple[str, float], ...]:
    plain = faults.group({} if raw is None else raw, field, GOALS)
    goals: list[tuple[str, float]] = []
    for name in GOALS:
        depth_m = faults.optional(plain.get(name), f"{field}.{name}", *book.limit("depth_m"))
        if depth_m is not None:
            if goals and depth_m < goals[-1][1]:
                faults.add(f"{field}.{name}", f"is shallower than the goal {goals[-1][0].removesuffix('_m')}")
            goals.append((name, depth_m))
    return tuple(goals)
