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
UNBROKEN = "\u00a0"  # a number and its unit stay on one line
NEVER = date.max.toordinal()  # a goal that is not reached counts as this far away


@dataclass(frozen=True)
class Moved:
    """One change of the season: what it is, what it costs in caution, and each goal before and after it.

    `seen` are the goals that are looked at, `rows` all of them. `earlier` counts the days by which those looked at come
    sooner if every dive is clean. `gain` is by how much their chance by the end rises, in whole percent;
    where no chance is known it is 0.
    """

    key: str
    says: str
    costs: str
    seen: Sequence[Row]
    rows: Sequence[Row]
    gain: float
    earlier: int

    @property
    def has_effect(self) -> bool:
        """Tell whether it does anything to a goal that is looked at."""
        return any(row.before != row.after for row in self.seen)


@dataclass(frozen=True)
class Window:
    """Whether the window is enough: sentences, each goal as planned, and the changes, the most helpful first.

    `none_because` says why nothing is compared; the rest is empty then. `has_chance` tells whether any goal has a
    percentage.
    """

    none_because: str | None
    says: Sequence[str] = ()
    goals: Sequence[tuple[str, str, str, str]] = ()
    moved: Sequence[Moved] = ()
    has_chance: bool = False


def window_of(raw: dict[str, Any], variants: Sequence[Variant], replan: Replan, today: str, book: Rulebook) -> Window:
    """Return the answer for a season and its variants; a variant that the checks refuse is left out."""
    _, plan, before = replan(raw)
    if before["none_because"] is not None:
        return Window(before["none_because"])
    seen = {name: goal for name, fact in before["disciplines"].items() if (goal := _looked_at(fact, today))}
    if not seen:
        return Window(book.texts["window"]["none_left"])
    pairs = [(variant, after) for variant in variants if (after := _after(replan, variant.raw))]
    moved = [_moved(variant, (before, after), seen, today, book) for variant, after in pairs]
    moved.sort(key=lambda one: (-one.gain, -one.earlier))
    says = [*_says(seen, plan, pairs, book), *_few(before, today, book)]
    return Window(None, says, list(_goals(before, today, book)), moved, bool(_told(before)))


def enough(plan: Json, today: str, book: Rulebook) -> list[str]:
    """Return for each discipline, from its plan alone, whether the days are enough for the goal that is looked at.

    Nothing is said while the plan waits for a doctor's clearance, or when no dive day is left.
    """
    waits = plan["stand_down"] and plan["stand_down"]["needs_clearance"]
    if waits or not any(day["dives"] and day["date"] >= today for day in plan["days"]):
        return []
    goals = from_plan(plan)["disciplines"]
    seen = {name: goal for name, fact in goals.items() if (goal := _looked_at(fact, today))}
    return [_reach(name, goal, plan, book) for name, goal in seen.items()]


def rows_of(before: Json, after: Json, today: str, book: Rulebook) -> list[Row]:
    """Return each goal of two forecasts side by side: its date if every dive is clean, and its chance by the end."""
    ends, told = [dict(_flat(forecast)) for forecast in (before, after)], _told(before)
    found = []
    for key in dict.fromkeys([*ends[0], *ends[1]]):
        pair = [end.get(key) for end in ends]
        depths = {goal["depth_m"] for goal in pair if goal}
        said = [_cell(goal, today, book, len(depths) > 1, key[0] in told) for goal in pair]
        found.append(
            Row(" ".join(key) if len(depths) > 1 else f"{' '.join(key)} {show(depths.pop())}{UNBROKEN}m", *said)
        )
    return found


def _cell(goal: Json | None, today: str, book: Rulebook, with_depth: bool, has_chance: bool) -> str:
    if goal is None:
        return NOTHING
    parts = [*([_depth(goal)] if with_depth else []), _dated(goal, today, book, has_chance)]
    return ", ".join([*parts, *([f"more likely than not from {_day(goal['likely_on'])}"] if goal["likely_on"] else [])])


def from_plan(plan: Json, base: Json | None = None) -> dict[str, Any]:
    """Return a plan's goals in the form of a forecast that tells no chance but that of a goal out of its reach.

    `base` is the forecast of the season as it is: it tells in which disciplines a percentage is told at all.
    """
    told = _told(base or {})
    goals = {
        name: [
            {"name": goal.removesuffix("_m"), "depth_m": fact["depth_m"], "if_clean_on": fact["on"], "likely_on": None,
             "chance": 0.0 if name in told and fact["on"] is None else None}
            for goal, fact in ladder["goals"].items()
        ]
        for name, ladder in plan["disciplines"].items()
    }  # fmt: skip
    return {"none_because": None, "disciplines": {name: {"goals": found} for name, found in goals.items()}}


def is_by_plan(plan: Json, base: Json, today: str) -> bool:
    """Tell whether the plan's dates alone answer for a change: no open goal in its reach has a percentage."""
    told = _told(base)
    ladders = [ladder for name, ladder in plan["disciplines"].items() if name in told]
    return all(goal["on"] is None or goal["on"] < today for ladder in ladders for goal in ladder["goals"].values())


def _told(base: Json) -> set[str]:
    """Return the disciplines with dives enough for a percentage."""
    return {name for (name, _), goal in _flat(base) if goal["chance"] is not None}


def chance_says(goal: Json | None, today: str, book: Rulebook) -> str:
    """Return a goal's chance in whole percent, or that it is reached, or that the log is too short for one."""
    if goal is None:
        return NOTHING
    if goal["if_clean_on"] is not None and goal["if_clean_on"] < today:
        return str(book.texts["window"]["is_reached"])
    if goal["chance"] is None:
        return str(book.texts["window"]["few"])
    percent = round(100 * goal["chance"])
    return f"under 1{UNBROKEN}%" if percent < 1 else f"over 99{UNBROKEN}%" if percent > 99 else f"{percent}{UNBROKEN}%"


def _dated(goal: Json, today: str, book: Rulebook, has_chance: bool) -> str:
    """Return a goal's date and its chance; the date alone where its discipline has none: that is said once for all."""
    on, chance = _clean_on(goal), chance_says(goal, today, book)
    return on if not has_chance and chance == book.texts["window"]["few"] else f"{on}, {chance}"


def _few(before: Json, today: str, book: Rulebook) -> list[str]:
    words, told = book.texts["window"], _told(before)
    few = {name for (name, _), goal in _flat(before) if chance_says(goal, today, book) == words["few"]} - told
    if not few:
        return []
    return [words["few_of"].format(names=" and ".join(sorted(few))) if told else words["few_says"]]


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


def _moved(
    variant: Variant, forecasts: tuple[Json, Json], seen: Mapping[str, Json], today: str, book: Rulebook
) -> Moved:
    before, after = forecasts
    ends, told = dict(_flat(after)), _told(before)
    pairs = [(name, goal, ends[name, goal["name"]]) for name, goal in seen.items() if (name, goal["name"]) in ends]
    rows = [
        Row(f"{name} {one['name']} {_depth(one)}", *(_dated(end, today, book, name in told) for end in (one, other)))
        for name, one, other in pairs
    ]
    gain = sum((other["chance"] or 0) - one["chance"] for _, one, other in pairs if one["chance"] is not None)
    earlier = sum(_days(one) - _days(other) for _, one, other in pairs)
    return Moved(
        variant.key, variant.says, variant.costs, rows, rows_of(before, after, today, book), round(gain, 2), earlier
    )


def _says(seen: Mapping[str, Json], plan: Json, pairs: Sequence[tuple[Variant, Json]], book: Rulebook) -> Iterator[str]:
    """Yield, for each goal that is looked at, whether the plan reaches it, and else what does."""
    words = book.texts["window"]
    for name, goal in seen.items():
        if goal["if_clean_on"] is not None:
            yield _reach(name, goal, plan, book)
            continue
        ways = [variant.says for variant, after in pairs if _is_reached(after, name, goal)]
        more = words["some_reach"].format(changes="; ".join(ways)) if ways else words["none_reach"]
        yield f"{_reach(name, goal, plan, book)} {more}"


def _reach(name: str, goal: Json, plan: Json, book: Rulebook) -> str:
    """Return whether the plan reaches a goal, and how many days of its discipline are left after that."""
    words, on = book.texts["window"], goal["if_clean_on"]
    said = {"name": name, "goal": goal["name"], "depth": show(goal["depth_m"]), "date": _clean_on(goal)}
    if on is None:
        return str(words["not_reached"].format(**said))
    days = sum(
        day["date"] > on and any(dive["role"] == "deep" and dive["discipline"] == name for dive in day["dives"])
        for day in plan["days"]
    )
    after = words["after_some" if days > 1 else "after_one" if days else "after_none"]
    return str(words["reached"].format(**said, after=after.format(name=name, days=f"{days} days")))


def _is_reached(after: Json, name: str, goal: Json) -> bool:
    found = dict(_flat(after)).get((name, goal["name"]))
    return found is not None and found["if_clean_on"] is not None


def _goals(forecast: Json, today: str, book: Rulebook) -> Iterator[tuple[str, str, str, str]]:
    for (name, _), goal in _flat(forecast):
        yield f"{name} {goal['name']} {_depth(goal)}", _clean_on(goal), chance_says(goal, today, book), _likely(goal)


def _days(goal: Json) -> int:
    on = goal["if_clean_on"]
    return NEVER if on is None else date.fromisoformat(on).toordinal()


def _depth(goal: Json | None) -> str:
    return f"{show(goal['depth_m'])}{UNBROKEN}m" if goal else NOTHING


def _clean_on(goal: Json | None) -> str:
    if goal is None:
        return NOTHING
    return _day(goal["if_clean_on"]) if goal["if_clean_on"] else "not reached"


def _likely(goal: Json | None) -> str:
    return _day(goal["likely_on"]) if goal and goal["likely_on"] else NOTHING


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B}"
