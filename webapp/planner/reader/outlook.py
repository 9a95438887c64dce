"""When each goal is reached, by clean dives or by planned ones, and which goals are out of reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .sentences import date_words, fill

Json = Mapping[str, Any]


@dataclass(frozen=True)
class Mark:
    """A clean dive, done or still assumed, and the depth that it counts for."""

    date: str
    depth_m: float
    done: bool


def goals_of(words: Json, ladder: Json, marks: Sequence[Mark], is_over: bool) -> dict[str, Any]:
    """Return {goal: {depth_m, on, says}}; `on` is the date on which it is reached, or None."""
    return {name: _goal(words, ladder, name, depth_m, marks, is_over) for name, depth_m in ladder["goals"]}


def reaches(marks: Sequence[Mark]) -> float | None:
    """Return the deepest depth that is planned, None when nothing is."""
    return max((mark.depth_m for mark in marks if not mark.done), default=None)


def reached(marks: Sequence[Mark]) -> float | None:
    """Return the deepest depth that was dived clean, None when none was."""
    return max((mark.depth_m for mark in marks if mark.done), default=None)


def goal_said(words: Json, ladder: Json, marks: Sequence[Mark], target_m: float) -> str:
    """Return which goals a dive to this target reaches for the first time, "" when none."""
    deepest_m = max(reaches(marks) or 0, reached(marks) or 0)
    found = [(name, depth_m) for name, depth_m in ladder["goals"] if deepest_m < depth_m <= target_m]
    said = [fill(words["reaches_goal"], {"depth": depth_m, "goal": name.removesuffix("_m")}) for name, depth_m in found]
    return ", ".join(said)


def wins(words: Json, ladder: Json, marks: Sequence[Mark], best_m: float, depth_m: float) -> list[str]:
    """Return what a clean dive to this depth reached for the first time: a new best, goals."""
    before_m = reached(marks) or 0
    found = [fill(words["best_done"], {"depth": depth_m})] if depth_m > best_m else []
    goals = [(name, goal_m) for name, goal_m in ladder["goals"] if before_m < goal_m <= depth_m]
    said = ({"depth": goal_m, "goal": name.removesuffix("_m")} for name, goal_m in goals)
    return found + [fill(words["goal_reached"], one) for one in said]


def _goal(words: Json, ladder: Json, name: str, depth_m: float, marks: Sequence[Mark], is_over: bool) -> dict[str, Any]:
    mark = next((mark for mark in marks if mark.depth_m >= depth_m), None)
    said: dict[str, Any] = {"depth": depth_m, "goal": name.removesuffix("_m"), "cap": ladder["cap_m"]}
    if mark:
        key, said = ("goal_done" if mark.done else "goal_on"), {**said, "date": date_words(mark.date, words)}
    elif depth_m > ladder["cap_m"]:
        key = "goal_cap"
    elif is_over:
        key = "goal_was_not"
    elif reaches(marks) is None:
        key = "goal_none"
    else:
        key, said = "goal_not", {**said, "reaches": reaches(marks)}
    return {"depth_m": depth_m, "on": mark.date if mark else None, "says": fill(words[key], said)}
