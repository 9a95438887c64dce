"""The blocks of a season: typed one by one, or made from one length, one break and one rhythm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES, Block, Drill, Level

BLOCK_FIELDS = ("first_day", "last_day", "main", "days_on", "days_off", "drills")
DRILL_FIELDS = ("discipline", "depth_m", "share", "dives", "focus")
EVEN_FIELDS = ("days_on", "days_off", "block_days", "break_days", "lead", "drill")
EVEN_NUMBERS = ("days_on", "days_off", "block_days", "break_days")
Days = Mapping[str, Any]  # first_day and last_day, each None when it was refused


def check_blocks(
    plain: Mapping[str, Any], days: Days, levels: Sequence[Level], book: Rulebook, faults: Faults
) -> tuple[Block, ...]:
    """Return the blocks in order; from the older fields when the season has no `blocks` of its own."""
    if plain.get("blocks") is None:
        return _even_blocks(plain, days, levels, book, faults)
    for name in EVEN_FIELDS:
        if plain.get(name) is not None:
            faults.add(name, "is said by the blocks: leave it out, or leave the blocks out")
    raw, most = plain["blocks"], book.limit("blocks")[1]
    if not isinstance(raw, list) or not raw or len(raw) > most:
        faults.add("blocks", f"must be a list of 1 to {most} blocks")
        return ()
    blocks = tuple(_block(one, f"blocks[{index}]", levels, book, faults) for index, one in enumerate(raw))
    _check_order(blocks, days, faults)
    return blocks


def _block(raw: object, field: str, levels: Sequence[Level], book: Rulebook, faults: Faults) -> Block:
    plain = faults.group(raw, field, BLOCK_FIELDS)
    first, last = (check_day(plain.get(name), f"{field}.{name}", book, faults) for name in ("first_day", "last_day"))
    if first and last and last < first:
        faults.add(f"{field}.last_day", "is before the first day of the block")
    return Block(
        first_day=first,
        last_day=last,
        main=_main(plain.get("main"), f"{field}.main", levels, faults),
        days_on=faults.number(plain.get("days_on"), f"{field}.days_on", *book.limit("days_on"), whole=True),
        days_off=faults.number(plain.get("days_off"), f"{field}.days_off", *book.limit("days_off"), whole=True),
        drills=_drills(plain.get("drills"), f"{field}.drills", levels, book, faults),
    )


def _check_order(blocks: Sequence[Block], days: Days, faults: Faults) -> None:
    """Note each block that leaves the season, or begins before the block before it has ended."""
    before: str | None = None
    for index, block in enumerate(blocks):
        if block.first_day and days["first_day"] and block.first_day < days["first_day"]:
            faults.add(f"blocks[{index}].first_day", "is before the first day of the season")
        if block.last_day and days["last_day"] and block.last_day > days["last_day"]:
            faults.add(f"blocks[{index}].last_day", "is after the last day of the season")
        if block.first_day and before and block.first_day <= before:
            faults.add(f"blocks[{index}].first_day", "is before the end of the block before: blocks must not overlap")
        before = block.last_day or before


def _drills(raw: object, field: str, levels: Sequence[Level], book: Rulebook, faults: Faults) -> tuple[Drill, ...]:
    most = book.limit("block_drills")[1]
    if raw is None:
        return ()
    if not isinstance(raw, list) or len(raw) > most:
        faults.add(field, f"must be a list of at most {most} drills")
        return ()
    return tuple(_drill(one, f"{field}[{index}]", levels, book, faults) for index, one in enumerate(raw))


def _drill(raw: object, field: str, levels: Sequence[Level], book: Rulebook, faults: Faults) -> Drill:
    plain = faults.group(raw, field, DRILL_FIELDS)
    depth_m, share = plain.get("depth_m"), plain.get("share")
    name = faults.choice(plain.get("discipline"), f"{field}.discipline", DISCIPLINES)
    if (depth_m is None) == (share is None):
        faults.add(f"{field}.depth_m", "needs a depth, or a share of the comfortable depth, but not both")
    if share is not None and levels and name not in {level.discipline for level in levels}:
        faults.add(f"{field}.share", f"needs {name} among the disciplines of the season: give a depth in metres")
    return Drill(
        discipline=name,
        dives=faults.number(plain.get("dives"), f"{field}.dives", *book.limit("dives_of_drill"), whole=True),
        depth_m=faults.optional(depth_m, f"{field}.depth_m", *book.limit("depth_m")),
        share=faults.optional(share, f"{field}.share", *book.limit("drill_share")),
        focus=faults.text(plain.get("focus"), f"{field}.focus", book.limit("text")[1]),
    )


def _main(raw: object, field: str, levels: Sequence[Level], faults: Faults) -> Any:
    names = [level.discipline for level in levels if level.discipline]
    return faults.choice(raw, field, names) if names else raw


def _even_blocks(
    plain: Mapping[str, Any], days: Days, levels: Sequence[Level], book: Rulebook, faults: Faults
) -> tuple[Block, ...]:
    numbers = {name: faults.number(plain.get(name), name, *book.limit(name), whole=True) for name in EVEN_NUMBERS}
    lead = _lead(plain.get("lead"), levels, faults)
    drills = _one_drill(plain.get("drill"), book, faults)
    if faults.found or not lead:
        return ()
    first, last = date.fromisoformat(days["first_day"]), date.fromisoformat(days["last_day"])
    rhythm = numbers["days_on"], numbers["days_off"]
    days_of_blocks = spans(first, last, numbers["block_days"], numbers["break_days"])
    return tuple(
        Block(*span, lead[min(index, len(lead) - 1)], *rhythm, drills) for index, span in enumerate(days_of_blocks)
    )


def spans(first: date, last: date, block_days: int, break_days: int) -> Iterator[tuple[str, str]]:
    """Yield the first and last day of each block; the last block ends with the season."""
    while first <= last:
        end = min(first + timedelta(days=block_days - 1), last)
        yield first.isoformat(), end.isoformat()
        first = end + timedelta(days=1 + break_days)


def _lead(raw: object, levels: Sequence[Level], faults: Faults) -> tuple[str, ...]:
    names = [level.discipline for level in levels if level.discipline]
    if not isinstance(raw, list) or not raw:
        faults.add("lead", "is missing: the main discipline of each block, at least of the first")
        return ()
    if names:
        for index, name in enumerate(raw):
            faults.choice(name, f"lead[{index}]", names)
    return tuple(name for name in raw if isinstance(name, str))


def _one_drill(raw: object, book: Rulebook, faults: Faults) -> tuple[Drill, ...]:
    if raw is None:
        return ()
    plain = faults.group(raw, "drill", ("discipline", "depth_m", "dives"))
    drill = Drill(
        discipline=faults.choice(plain.get("discipline"), "drill.discipline", DISCIPLINES),
        dives=faults.number(plain.get("dives"), "drill.dives", *book.limit("drill_dives"), whole=True),
        depth_m=faults.number(plain.get("depth_m"), "drill.depth_m", *book.limit("depth_m")),
    )
    return (drill,)
