"""Two plans of one season side by side: what a change, or a week without dives, does to where it leads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

Json = Mapping[str, Any]
NOTHING = "–"


@dataclass(frozen=True)
class Row:
    """One line of the comparison, in words."""

    what: str
    before: str
    after: str


def compared(before: Json, after: Json, today: str) -> list[Row]:
    """Return the number of deep days, then for each discipline its last target and when each goal is reached."""
    rows = [Row("Deep days", str(deep_days(before, today)), str(deep_days(after, today)))]
    for name in dict.fromkeys([*before["disciplines"], *after["disciplines"]]):
        rows.append(Row(f"{name}: last target", _last(before, name), _last(after, name)))
        ladders = [plan["disciplines"].get(name, {"goals": {}}) for plan in (before, after)]
        for goal in dict.fromkeys(key for ladder in ladders for key in ladder["goals"]):
            said = [_goal(ladder["goals"].get(goal)) for ladder in ladders]
            rows.append(Row(f"{name}: {goal.removesuffix('_m')}", *said))
    return rows


def past_targets(before: Json, after: Json, today: str) -> list[Row]:
    """Return the days before today, or begun, whose deep target would read differently."""
    targets = [{day["date"]: _target(day) for day in plan["days"] if _is_past(day, today)} for plan in (before, after)]
    days = sorted({*targets[0], *targets[1]})
    pairs = [(day, targets[0].get(day, NOTHING), targets[1].get(day, NOTHING)) for day in days]
    return [Row(day, old, new) for day, old, new in pairs if old != new]


def deep_days(plan: Json, today: str) -> int:
    """Return how many days have a deep dive: dived ones, and from today on planned ones."""
    return sum(bool(_dived(day)) or (day["date"] >= today and _planned(day) is not None) for day in plan["days"])


def idle_since(plan: Json, today: str) -> str | None:
    """Return the day from which planned deep dives were not made until today, None when none was left out."""
    done = [day["date"] for day in plan["days"] if day["done"] and day["date"] < today]
    since = (date.fromisoformat(done[-1]) + timedelta(days=1)).isoformat() if done else plan["days"][0]["date"]
    missed = any(since <= day["date"] < today and _planned(day) for day in plan["days"])
    return since if missed else None


def _is_past(day: Json, today: str) -> bool:
    return bool(day["date"] < today or day["done"])


def _planned(day: Json) -> Json | None:
    return next((dive for dive in day["dives"] if dive["role"] == "deep"), None)


def _dived(day: Json) -> list[Json]:
    return [dive for dive in day["done"] if dive["role"] == "deep"]


def _target(day: Json) -> str:
    deep = _planned(day)
    return _depth(deep["discipline"], deep["target_m"]) if deep else NOTHING


def _last(plan: Json, name: str) -> str:
    targets = [deep["target_m"] for day in plan["days"] if (deep := _planned(day)) and deep["discipline"] == name]
    return f"{targets[-1]:g} m" if targets else NOTHING


def _goal(goal: Json | None) -> str:
    if goal is None:
        return NOTHING
    on = date.fromisoformat(goal["on"]) if goal["on"] else None
    return f"{goal['depth_m']:g} m " + (f"{on.day} {on:%b}" if on else "not reached")


def _depth(name: str, depth_m: float) -> str:
    return f"{name} {depth_m:g} m"
