"""Which day of the season is a dive day, a rest day, a day of the break, or closed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from ..records.model import Season


@dataclass(frozen=True)
class Day:
    """One calendar day; `block` counts from 1 and is None in the break, `lead` is the block's main discipline."""

    date: str
    block: int | None
    kind: str  # dive, rest, break, closed
    lead: str | None


def days_of(season: Season) -> tuple[Day, ...]:
    """Return every day of the season in order.

    A day in a block is a dive day if it is not closed, fewer than `days_on` dive days come just before it, and it
    continues that run, or follows at least `days_off` days off, or is the first of its block. The days before the
    season count as days off, so that a closed first day delays nobody.
    """
    run, off = 0, season.days_off
    days = []
    for day, block, opens in _blocks(season):
        kind = _kind(season, day, block, opens, run, off)
        run, off = (run + 1, 0) if kind == "dive" else (0, off + 1)
        lead = season.lead[min(block, len(season.lead)) - 1] if block else None
        days.append(Day(day, block, kind, lead))
    return tuple(days)


def _kind(season: Season, day: str, block: int | None, opens: bool, run: int, off: int) -> str:
    if block is None:
        return "break"
    if day in season.closed_days:
        return "closed"
    if run < season.days_on and (run > 0 or off >= season.days_off or opens):
        return "dive"
    return "rest"


def _blocks(season: Season) -> Iterator[tuple[str, int | None, bool]]:
    """Yield (date, block or None, whether it is the first of its block); the last block ends on the last day."""
    first, last = date.fromisoformat(season.first_day), date.fromisoformat(season.last_day)
    for index in range((last - first).days + 1):
        block, into = divmod(index, season.block_days + season.break_days)
        inside = into < season.block_days
        yield (first + timedelta(days=index)).isoformat(), block + 1 if inside else None, into == 0
