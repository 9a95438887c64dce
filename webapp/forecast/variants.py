"""Sensible changes of a season: each is the whole season as typed, with what it is and what it costs in caution.

Before its first day a season is changed from the start, after that from tomorrow on: no day gone by is touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from ..records.changes import raw_on
from ..records.changing import Edit, edited, later_of_same
from ..records.written import blocks_of
from ..rulebook.checks import show
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook

Json = Mapping[str, Any]
LEAST_DAYS_OFF = 1  # a rhythm without any day off is never proposed
Parts = dict[str, Any]


@dataclass(frozen=True)
class Variant:
    """One change of a season: the season as typed with it, and in words what it is and what it costs in caution.

    It holds from `from_day` on, None for from the start; `shown_on` is the day as of which the season was looked at.
    """

    key: str
    raw: dict[str, Any]
    says: str
    costs: str
    from_day: str | None
    shown_on: str


@dataclass(frozen=True)
class Now:
    """A season as typed, as it is from the first day that a change may touch; `from_day` is None before its start."""

    whole: Json
    raw: Json
    blocks: list[dict[str, Any]]
    from_day: str | None
    shown_on: str
    book: Rulebook

    @property
    def coming(self) -> list[int]:
        """The places of the blocks that have days left."""
        return [at for at, block in enumerate(self.blocks) if block["last_day"] >= self.shown_on]


def variants_of(raw: Json, book: Rulebook, today: str) -> list[Variant]:
    """Return the changes of a checked season that are worth a comparison; none when it is over.

    A part that a later change of the season sets once more is left alone: a change before it would not last.
    """
    now = _now(raw, book, today)
    if raw_on(raw, "9999-12-31")["last_day"] < today:
        return []
    found = []
    for key, parts, said in _proposed(now):
        edit = Edit(parts, now.from_day, "", now.shown_on)
        if later_of_same(raw, edit):
            continue
        try:
            words = book.texts["window"]["variant"][key]
            first = {"first_day": parts["first_day"]} if "first_day" in parts else {}
            made = {**edited(raw, edit), **first}
            says, costs = (words[name].format(**said) for name in ("says", "costs"))
            found.append(Variant(key, made, says, costs, now.from_day, now.shown_on))
        except Refused:
            continue
    return found


def rhythm(raw: Json, book: Rulebook, from_day: str, days_on: Any = None, days_off: Any = None) -> list[dict[str, Any]]:
    """Return the blocks of a season as typed with another rhythm in those that have days left on this day."""
    new = {name: value for name, value in (("days_on", days_on), ("days_off", days_off)) if value is not None}
    return [{**block, **new} if block["last_day"] >= from_day else block for block in blocks_of(raw, book)]


def _now(raw: Json, book: Rulebook, today: str) -> Now:
    begun = str(raw["first_day"]) <= today
    tomorrow = _moved(today, 1)
    shown_on = tomorrow if begun else today
    shown = raw_on(raw, shown_on)
    return Now(raw, shown, blocks_of(shown, book), tomorrow if begun else None, shown_on, book)


def _proposed(now: Now) -> Iterator[tuple[str, Parts, dict[str, str]]]:
    """Yield the name of each change, the parts that it sets, and what is filled into its words."""
    days, step_m = int(now.book.value("looking_back.more_days")), float(now.book.value("looking_back.other_step_m"))
    said = {"days": show(days), "step": show(step_m)}
    if now.blocks:
        yield "week", _longer(now, days), said
    yield from _levels(now, step_m, said)
    for key, name, more in (("on_more", "days_on", 1), ("off_fewer", "days_off", -1), ("off_more", "days_off", 1)):
        least, most = now.book.limit(name)
        least = max(least, LEAST_DAYS_OFF)
        blocks = [
            {**block, name: max(min(block[name] + more, most), min(least, block[name]))} if at in now.coming else block
            for at, block in enumerate(now.blocks)
        ]
        if blocks != now.blocks:
            yield key, {"blocks": blocks}, said
    yield from _order(now)
    yield from _later(now, days, said)


def _longer(now: Now, days: int) -> Parts:
    last = now.blocks[-1]
    longer = {**last, "last_day": _moved(last["last_day"], days)}
    return {"last_day": _moved(now.raw["last_day"], days), "blocks": [*now.blocks[:-1], longer]}


def _levels(now: Now, step_m: float, said: dict[str, str]) -> Iterator[tuple[str, Parts, dict[str, str]]]:
    """Yield the changes that are made in each discipline alike: its step, and its clean dives for each depth."""
    usual = {name: now.book.value(f"ladder.{name}") for name in ("step_m", "repeats", "repeats_below_best")}
    least_m, most_m = now.book.limit("step_m")
    fewest = {"repeats": int(now.book.value("ladder.beyond_best_repeats")), "repeats_below_best": 1}
    most = now.book.limit("repeats")[1]

    def stepped(more_m: float) -> Callable[[Json], Parts]:
        return lambda level: {"step_m": min(max(round(level["step_m"] + more_m, 2), least_m), most_m)}

    def repeated(more: int) -> Callable[[Json], Parts]:
        return lambda level: {
            name: min(max(level[name] + more, min(least, level[name])), most) for name, least in fewest.items()
        }

    for key, change in (
        ("step_longer", stepped(step_m)), ("step_shorter", stepped(-step_m)),
        ("repeats_fewer", repeated(-1)), ("repeats_more", repeated(1)),
    ):  # fmt: skip
        moved = [_moved_only(_written(level, usual), change) for level in now.raw["disciplines"]]
        if any(moved):
            levels = [{**level, **more} for level, more in zip(now.raw["disciplines"], moved, strict=True)]
            yield key, {"disciplines": levels}, said


def _moved_only(level: Json, change: Callable[[Json], Parts]) -> Parts:
    """Return the numbers that differ; what a level leaves to the book stays so, unless it follows one that differs."""
    after = change(level)
    moved = {name: value for name, value in after.items() if value != level[name]}
    return after if "repeats" in moved else moved


def _written(level: Json, usual: Json) -> Parts:
    """Return a level with its step and both numbers of clean dives, where it leaves them to the book."""
    given = {name: value for name, value in level.items() if value is not None}
    below = given.get("repeats_below_best", given.get("repeats", usual["repeats_below_best"]))
    return {**usual, **given, "repeats_below_best": below}


def _order(now: Now) -> Iterator[tuple[str, Parts, dict[str, str]]]:
    """Yield the coming blocks with the main disciplines of the first two that differ swapped."""
    whole = [at for at in now.coming if now.blocks[at]["first_day"] >= now.shown_on]
    other = next((at for at in whole if now.blocks[at]["main"] != now.blocks[whole[0]]["main"]), None)
    if other is None:
        return
    blocks, mains = list(now.blocks), (now.blocks[whole[0]]["main"], now.blocks[other]["main"])
    blocks[whole[0]], blocks[other] = {**blocks[whole[0]], "main": mains[1]}, {**blocks[other], "main": mains[0]}
    yield "order", {"blocks": blocks}, {"first": mains[1], "second": mains[0]}


def _later(now: Now, days: int, said: dict[str, str]) -> Iterator[tuple[str, Parts, dict[str, str]]]:
    """Yield the season as long as it is, but later, with no time away before it; only before it has begun."""
    if now.from_day is not None or now.whole.get("changes") or not now.blocks:
        return
    first = _moved(now.raw["first_day"], days)
    moved = [{**one, **{name: _moved(one[name], days) for name in ("first_day", "last_day")}} for one in now.blocks]
    levels = [
        {**level, "comfortable_on": _moved(first, -1)} if level.get("comfortable_m") is not None else level
        for level in now.raw["disciplines"]
    ]
    parts = {"first_day": first, "last_day": _moved(now.raw["last_day"], days), "blocks": moved, "disciplines": levels}
    yield "later", parts, said


def _moved(day: str, days: int) -> str:
    return (date.fromisoformat(day) + timedelta(days=days)).isoformat()
