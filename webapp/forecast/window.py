"""Is the window enough: sensible changes of a season, each planned anew, by what they do to the goals.

Pure: whoever asks gives the function that plans and forecasts a season as typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ..planner.comparison import NOTHING, Row
from ..rulebook.checks import show
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .variants import Variant

Json = Mapping[str, Any]
Replan = Callable[[dict[str, Any]], tuple[Json, Json, Json]]  # a season as typed -> its sheet, plan and forecast
GOALS_FIRST = ("aim", "dream", "floor")  # the goal that is looked at: the first of these that is still open
NEVER = date.max.toordinal()  # a goal that is not reached counts as this far away


@dataclass(frozen=True)
class Moved:
    """One change of the season: what it is, what it costs in caution, and each goal before and after it.

    `seen` are the goals that are looked at, `rows` all of them. `earlier` counts the days by which those looked at come
    sooner if every dive is clean, `gain` by how much their chance by the end rises; 0 where no chance is known.
    """

    key: str
    says: str
    costs: str
    seen: Sequence[Row]
    rows: Sequence[Row]
    gain: float
    earlier: int


@dataclass(frozen=True)
class Window:
    """Whether the window is enough: sentences, each goal as planned, and the changes, the most helpful first.

    `none_because` says why nothing is compared; the rest is empty then.
    """

    none_because: str | None
    says: Sequence[str] = ()
    goals: Sequence[tuple[str, str, str, str]] = ()
    moved: Sequence[Moved] = ()


def window_of(raw: dict[str, Any], variants: Sequence[Variant], replan: Replan, today: str, book: Rulebook) -> Window:
    """Return the answer for a season and its variants; a variant that the checks refuse is left out."""
    _, _, before = replan(raw)
    if before["none_because"] is not None:
        return Window(before["none_because"])
    seen = {name: goal for name, fact in before["disciplines"].items() if (goal := _looked_at(fact, today))}
    if not seen:
        return Window(book.texts["window"]["none_left"])
    pairs = [(variant, after) for variant in variants if (after := _after(replan, variant.raw))]
    moved = [_moved(variant, before, after, seen, book) for variant, after in pairs]
    moved.sort(key=lambda one: (-one.gain, -one.earlier))
    says = list(_says(seen, pairs, book))
    return Window(None, says, list(_goals(before, book)), moved)


def rows_of(before: Json, after: Json, book: Rulebook) -> list[Row]:
    """Return each goal's date if every dive is clean, its chance and its likely day, of two forecasts side by side."""
    ends = [dict(_flat(forecast)) for forecast in (before, after)]
    found = []
    for key in dict.fromkeys([*ends[0], *ends[1]]):
        name = " ".join(key)
        pair = [end.get(key) for end in ends]
        if len({goal["depth_m"] for goal in pair if goal}) > 1:
            found.append(Row(f"{name}: depth", *(_depth(goal) for goal in pair)))
        found.append(Row(f"{name}: if every dive is clean", *(_clean_on(goal) for goal in pair)))
        found.append(Row(f"{name}: chance by the end", *(chance_says(goal, book) for goal in pair)))
        found.append(Row(f"{name}: more likely than not from", *(_likely(goal) for goal in pair)))
    return found


def from_plan(plan: Json) -> dict[str, Any]:
    """Return a plan's goals in the form of a forecast, without chances: where a log is too short for one anyway."""
    unknown = {"chance": None, "likely_on": None}
    goals = {
        name: [
            {"name": goal.removesuffix("_m"), "depth_m": fact["depth_m"], "if_clean_on": fact["on"], **unknown}
            for goal, fact in ladder["goals"].items()
        ]
        for name, ladder in plan["disciplines"].items()
    }
    return {"none_because": None, "disciplines": {name: {"goals": found} for name, found in goals.items()}}


def has_chances(forecast: Json) -> bool:
    """Tell whether any goal of a forecast has a chance."""
    return any(goal["chance"] is not None for _, goal in _flat(forecast))


def chance_says(goal: Json | None, book: Rulebook) -> str:
    """Return a goal's chance in whole percent, or that the log is too short for one."""
    if goal is None:
        return NOTHING
    if goal["chance"] is None:
        return str(book.texts["window"]["few"])
    percent = round(100 * goal["chance"])
    return "under 1 %" if percent < 1 else "over 99 %" if percent > 99 else f"{percent} %"


def _flat(forecast: Json) -> Iterator[tuple[tuple[str, str], Json]]:
    for name, fact in forecast.get("disciplines", {}).items():
        for goal in fact["goals"]:
            yield (name, goal["name"]), goal


def _looked_at(fact: Json, today: str) -> Json | None:
    """Return the goal that matters of a discipline: of those that are not reached yet."""
    still = {
        goal["name"]: goal for goal in fact["goals"] if goal["if_clean_on"] is None or goal["if_clean_on"] >= today
    }
    return next((still[name] for name in GOALS_FIRST if name in still), None)


def _after(replan: Replan, raw: dict[str, Any]) -> Json | None:
    try:
        found = replan(raw)[2]
    except Refused:
        return None
    return found if found["none_because"] is None else None


def _moved(variant: Variant, before: Json, after: Json, seen: Mapping[str, Json], book: Rulebook) -> Moved:
    ends = dict(_flat(after))
    pairs = [(name, goal, ends[name, goal["name"]]) for name, goal in seen.items() if (name, goal["name"]) in ends]
    rows = [
        Row(f"{name} {one['name']}", f"{_clean_on(one)}, {chance_says(one, book)}",
            f"{_clean_on(other)}, {chance_says(other, book)}")
        for name, one, other in pairs
    ]  # fmt: skip
    gain = sum((other["chance"] or 0) - one["chance"] for _, one, other in pairs if one["chance"] is not None)
    earlier = sum(_days(one) - _days(other) for _, one, other in pairs)
    return Moved(variant.key, variant.says, variant.costs, rows, rows_of(before, after, book), round(gain, 3), earlier)


def _says(seen: Mapping[str, Json], pairs: Sequence[tuple[Variant, Json]], book: Rulebook) -> Iterator[str]:
    """Yield, for each goal that is looked at, whether the plan reaches it, and else what does."""
    words = book.texts["window"]
    for name, goal in seen.items():
        said = {"name": name, "goal": goal["name"], "depth": show(goal["depth_m"]), "date": _clean_on(goal)}
        if goal["if_clean_on"] is not None:
            yield words["reached"].format(**said)
            continue
        ways = [variant.says for variant, after in pairs if _is_reached(after, name, goal)]
        more = words["some_reach"].format(changes="; ".join(ways)) if ways else words["none_reach"]
        yield f"{words['not_reached'].format(**said)} {more}"


def _is_reached(after: Json, name: str, goal: Json) -> bool:
    found = dict(_flat(after)).get((name, goal["name"]))
    return found is not None and found["if_clean_on"] is not None


def _goals(forecast: Json, book: Rulebook) -> Iterator[tuple[str, str, str, str]]:
    for (name, _), goal in _flat(forecast):
        yield f"{name} {goal['name']} {_depth(goal)}", _clean_on(goal), chance_says(goal, book), _likely(goal)


def _days(goal: Json) -> int:
    on = goal["if_clean_on"]
    return NEVER if on is None else date.fromisoformat(on).toordinal()


def _depth(goal: Json | None) -> str:
    return f"{show(goal['depth_m'])} m" if goal else NOTHING


def _clean_on(goal: Json | None) -> str:
    if goal is None:
        return NOTHING
    return _day(goal["if_clean_on"]) if goal["if_clean_on"] else "not reached"


def _likely(goal: Json | None) -> str:
    return _day(goal["likely_on"]) if goal and goal["likely_on"] else NOTHING


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B}"
