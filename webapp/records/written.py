"""A season with everything written out that it only implies: its blocks one by one, and both speeds of each level.

A form shows this, and two seasons are compared by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from ..rulebook.checks import is_day, is_number
from ..rulebook.rulebook import Rulebook
from .blocks import EVEN_FIELDS, EVEN_NUMBERS, spans

WATERS = ("salt", "fresh")  # the first where a season says nothing
Json = Mapping[str, Any]


def written_out(raw: Json, book: Rulebook) -> dict[str, Any]:
    """Return a stored season with `blocks` of its own in the place of the older fields, and both speeds."""
    kept = {name: value for name, value in raw.items() if name not in EVEN_FIELDS}
    levels = [_level(level) for level in raw.get("disciplines") or []]
    levels.sort(key=lambda level: str(level.get("discipline")))
    whole = {**kept, "disciplines": levels, "blocks": blocks_of(raw, book)}
    return {**whole, "site": {"water": WATERS[0], **raw["site"]}} if isinstance(raw.get("site"), Mapping) else whole


def blocks_of(raw: Json, book: Rulebook) -> list[dict[str, Any]]:
    """Return the blocks as typed, made from the older fields where there are none; [] where these cannot be read."""
    if raw.get("blocks") is not None:
        return list(raw["blocks"])
    numbers: list[Any] = [raw.get(name) for name in EVEN_NUMBERS]
    lead = raw.get("lead") or []
    if not (
        lead
        and all(map(is_number, numbers))
        and numbers[2] >= 1
        and is_day(raw.get("first_day"))
        and is_day(raw.get("last_day"))
    ):
        return []
    days_on, days_off, block_days, break_days = numbers
    drills = list(_drills(raw.get("drill"), int(book.limit("dives_of_drill")[1])))
    first, last = date.fromisoformat(raw["first_day"]), date.fromisoformat(raw["last_day"])
    return [
        {
            "first_day": begins, "last_day": ends, "main": lead[min(index, len(lead) - 1)],
            "days_on": days_on, "days_off": days_off, "drills": drills,
        }
        for index, (begins, ends) in enumerate(spans(first, last, block_days, break_days))
    ]  # fmt: skip


def same(one: Any, other: Any) -> bool:
    """Tell whether two parts of a season say the same: what is empty counts as not there."""
    return bool(_bare({"part": one}) == _bare({"part": other}))


def _drills(drill: Json | None, most: int) -> Iterator[dict[str, Any]]:
    """Yield the one drill of the older fields; more dives of it than a drill of a block may have, as several."""
    left = drill["dives"] if drill and is_number(drill.get("dives")) else 0
    while drill and left > 0:
        yield {"discipline": drill.get("discipline"), "depth_m": drill.get("depth_m"), "dives": min(left, most)}
        left -= most


def _level(level: Json) -> dict[str, Any]:
    """Return a level with the number that it means for depths below the best: see `levels.check_levels`."""
    if level.get("repeats_below_best") is not None or level.get("repeats") is None:
        return dict(level)
    return {**level, "repeats_below_best": level["repeats"]}


def _bare(value: Any) -> Any:
    if isinstance(value, Mapping):
        bare = {name: _bare(part) for name, part in value.items()}
        return {name: part for name, part in bare.items() if part not in (None, "", {}, [])}
    return [_bare(part) for part in value] if isinstance(value, list) else value
