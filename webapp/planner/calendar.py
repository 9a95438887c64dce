"""Which day of the season is a dive day, a rest day, a day between blocks, or closed."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from ..records.model import Block, Drill, Season


@dataclass(frozen=True)
class Day:
    """One calendar day; `block` counts from 1 and is None between blocks, `lead` is the block's main discipline.

    `why` names the sentence for a day outside the blocks that is no break between two of them.
    """

    date: str
    block: int | None
    kind: str  # dive, rest, break, closed
    lead: str | None
    drills: tuple[Drill, ...] = ()
    why: str | None = None


def days_of(season: Season) -> tuple[Day, ...]:
    """Return every day of the season in order; from the day of a change on, the changed season says what each day is.

    A day in a block is a dive day if it is not closed, fewer than `days_on` dive days come just before it, and it
    continues that run, or follows at least `days_off` days off, or opens a block after a break. The days before the
    season count as days off, so that a closed first day delays nobody. Between two blocks without a break the rhythm
    goes on.
    """
    run, off, was_inside = 0, max(block.days_off for block in season.blocks), False
    days = []
    for day, now in _dates(season):
        number = _block_on(now, day)
        if number is None:
            days.append(Day(day, None, "break", None, why=_why_outside(now, day)))
            run, off, was_inside = 0, off + 1, False
            continue
        block = now.blocks[number]
        kind = _kind(now, block, day, not was_inside and day == block.first_day, run, off)
        run, off = (run + 1, 0) if kind == "dive" else (0, off + 1)
        days.append(Day(day, number + 1, kind, block.main, block.drills))
        was_inside = True
    return tuple(days)


def _kind(season: Season, block: Block, day: str, opens: bool, run: int, off: int) -> str:
    if day in season.closed_days:
        return "closed"
    if run < block.days_on and (run > 0 or off >= block.days_off or opens):
        return "dive"
    return "rest"


def _block_on(season: Season, day: str) -> int | None:
    """Return the place of the block that holds this day, None between blocks."""
    place = bisect_right(season.blocks, day, key=lambda block: block.first_day) - 1
    return place if place >= 0 and day <= season.blocks[place].last_day else None


def _why_outside(season: Season, day: str) -> str | None:
    if day > season.blocks[-1].last_day:
        return "after_blocks"
    return "between_blocks" if day < season.blocks[0].first_day else None


def _dates(season: Season) -> Iterator[tuple[str, Season]]:
    """Yield each date with the season as it is on it."""
    coming = list(season.changes)
    day, now = date.fromisoformat(season.first_day), season
    while True:
        text = day.isoformat()
        if coming and text == coming[0].from_day:
            now = coming.pop(0).season
        if text > now.last_day:
            return
        yield text, now
        day += timedelta(days=1)
