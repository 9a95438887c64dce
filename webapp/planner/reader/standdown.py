"""The stand-down: no diving until a doctor's clearance is recorded, and never before a date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from .sentences import date_words, fill


@dataclass(frozen=True)
class StandDown:
    """The day of the event, the first day on which diving may resume if cleared, what happened, and what to do."""

    since: int
    until: int
    what: str
    care: tuple[str, ...]


def is_cleared(stop: StandDown, cleared: Sequence[int], n: int) -> bool:
    """Tell whether a clearance was recorded by day `n`; it must be dated after the day of the event."""
    return any(stop.since < day <= n for day in cleared)


def holds(stop: StandDown | None, cleared: Sequence[int], n: int) -> bool:
    """Tell whether the stand-down still applies on day `n`."""
    return stop is not None and not (n >= stop.until and is_cleared(stop, cleared, n))


def widened(stop: StandDown | None, cleared: Sequence[int], new: StandDown) -> StandDown:
    """Return the stand-down after one more event: it needs a new clearance and ends no earlier."""
    if stop is None or not holds(stop, cleared, new.since):
        return new
    return StandDown(new.since, max(stop.until, new.until), new.what, new.care)


def stop_values(words: Mapping[str, Any], stop: StandDown) -> dict[str, str]:
    """Return the values for the sentences of a stand-down."""
    return {
        "what": words["what_" + stop.what],
        "date": date_words(iso(stop.since), words),
        "until": date_words(iso(stop.until), words),
    }


def stop_says(words: Mapping[str, Any], stop: StandDown, cleared: Sequence[int], n: int) -> str:
    """Return the sentence of the stand-down as it stands on day `n`."""
    name = "stand_down_cleared" if is_cleared(stop, cleared, n) else "stand_down"
    return fill(words[name], stop_values(words, stop))


def iso(n: int) -> str:
    """Return the ISO date of a day number."""
    return date.fromordinal(n).isoformat()
