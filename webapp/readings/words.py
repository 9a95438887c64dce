"""How numbers, dates and counts are written in the sentences of looking back."""

from __future__ import annotations

from ..planner.reader.sentences import date_words
from ..rulebook.rulebook import Rulebook


def on(day: str, book: Rulebook) -> str:
    """Return an ISO date as `3 May`."""
    return date_words(day, {"months": book.texts["words"]["months"].split()})


def count(number: int, singular: str, plural: str = "") -> str:
    """Return a count in words: `1 dive`, `3 dives`."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"


def listed(parts: list[str]) -> str:
    """Return parts as people list them: `a`, `a and b`, `a, b and c`."""
    return " and ".join([part for part in (", ".join(parts[:-1]), *parts[-1:]) if part])
