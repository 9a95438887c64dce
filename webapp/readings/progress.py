"""Progress of a season: what was planned and what was done by date, with goals, beside the seasons before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from ..planner.proposal import is_clean
from ..rulebook.rulebook import Rulebook
from .bands import dives_of

Json = Mapping[str, Any]


def progress_of(
    seasons: Sequence[Json], plan: Json | None, log: Iterable[Json], book: Rulebook, today: str
) -> dict[str, Any]:
    """Return the deep dives of the active season by discipline, planned and done, and the best so far of each season.

    `seasons` are {name, first_day, last_day}; without a plan there is nothing to show. What is planned
    before today is what the plan had for that day.
    """
    if plan is None or not plan["days"]:
        return {"disciplines": {}}
    first, last = plan["days"][0]["date"], plan["days"][-1]["date"]
    clean = [dive for dive in dives_of(log) if dive["date"] <= today and is_clean(dive, book)]
    earlier = sorted((one for one in seasons if one["first_day"] < first), key=lambda one: str(one["first_day"]))
    return {
        "disciplines": {
            name: {
                "first_day": first,
                "last_day": last,
                "best_m": summary["best_m"],
                "goals": _goals(summary),
                "done": _done(plan, name),
                "planned": _planned(plan, name),
                "so_far": _best_so_far(clean, name, first, last),
                "earlier": _earlier(earlier, clean, name),
            }
            for name, summary in plan["disciplines"].items()
        }
    }


def _goals(summary: Json) -> list[dict[str, Any]]:
    goals = summary["goals"].items()
    return [{"name": name.removesuffix("_m"), "depth_m": goal["depth_m"]} for name, goal in goals]


def _done(plan: Json, name: str) -> list[dict[str, Any]]:
    """Return the deep dives of the season with their verdicts; a turned one stands where it was turned."""
    return [
        {"date": day["date"], "depth_m": dive["reached_m"], "verdict": dive["verdict"]}
        for day in plan["days"]
        for dive in day["done"]
        if dive["discipline"] == name and dive["role"] == "deep"
    ]


def _planned(plan: Json, name: str) -> list[dict[str, Any]]:
    """Return the deep target of each day; a second try is none."""
    return [
        {"date": day["date"], "depth_m": dive["target_m"]}
        for day in plan["days"]
        for dive in day["dives"]
        if dive["discipline"] == name and dive["role"] == "deep" and "again" not in dive
    ]


def _earlier(seasons: Iterable[Json], clean: Sequence[Json], name: str) -> list[dict[str, Any]]:
    """Return the seasons before this one in which this discipline was dived clean."""
    found = []
    for one in seasons:
        marks = _best_so_far(clean, name, one["first_day"], one["last_day"])
        if marks:
            days = _days(one["first_day"], one["last_day"]) + 1
            found.append({"name": one["name"], "marks": marks, "days": days})
    return found


def _best_so_far(clean: Sequence[Json], name: str, first: str, last: str) -> list[dict[str, Any]]:
    """Return each clean dive of a season that was deeper than the clean ones before it in that season.

    `day` counts from the season's first day, which is 0: seasons of any year lie beside each other.
    """
    marks: list[dict[str, Any]] = []
    for dive in sorted(clean, key=lambda dive: str(dive["date"])):
        if dive["discipline"] != name or not first <= dive["date"] <= last:
            continue
        if marks and dive["reached_m"] <= marks[-1]["depth_m"]:
            continue
        day = _days(first, dive["date"])
        if marks and marks[-1]["day"] == day:
            marks.pop()
        marks.append({"day": day, "depth_m": dive["reached_m"]})
    return marks


def _days(first: str, day: str) -> int:
    return (date.fromisoformat(day) - date.fromisoformat(first)).days
