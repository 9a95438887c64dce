"""What a stretch of a log says of health, in lines of their own: a shared page can leave them out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from ..rulebook.rulebook import Rulebook
from .bands import dives_of
from .words import count, on

Json = Mapping[str, Any]


def health_lines(log: Iterable[Json], first: str, last: str, book: Rulebook) -> list[str]:
    """Return signs and reasons for turning with their counts, days without diving for illness, and clearances."""
    records = list(log)
    dives = [dive for dive in dives_of(records) if first <= dive["date"] <= last]
    words = [record for record in records if record["kind"] == "day"]
    return [
        *_signs(dives, book),
        *_turned(dives, book),
        *_off(words, first, last, book),
        *_cleared(records, first, last, book),
    ]


def _signs(dives: Iterable[Json], book: Rulebook) -> list[str]:
    noted = [code for dive in dives for code in dive["signs"]]
    return [
        _line(sign["says"], noted.count(code), "dive") for code, sign in book.texts["sign"].items() if code in noted
    ]


def _turned(dives: Iterable[Json], book: Rulebook) -> list[str]:
    noted = [dive["turned_why"] for dive in dives if dive.get("turned_why")]
    whys = book.texts["turned_why"].items()
    return [_line(f"Turned, {why['says'].lower()}", noted.count(code), "dive") for code, why in whys if code in noted]


def _off(words: Iterable[Json], first: str, last: str, book: Rulebook) -> list[str]:
    """Return the days without diving, each once for each reason; a word may hold for several days."""
    days: dict[str, set[int]] = {}
    for one in words:
        if one.get("no_diving") in book.texts["block_review"]["health_days"]:
            begin, end = max(first, one["date"]), min(last, one.get("to") or one["date"])
            span = range(date.fromisoformat(begin).toordinal(), date.fromisoformat(end).toordinal() + 1)
            days.setdefault(one["no_diving"], set()).update(span)
    says = book.texts["no_diving"]
    return [
        _line(f"No diving, {says[code]['says'].lower()}", len(found), "day") for code, found in days.items() if found
    ]


def _cleared(records: Iterable[Json], first: str, last: str, book: Rulebook) -> list[str]:
    found = [one["clearance"] for one in records if one["kind"] == "clearance"]
    return [f"Doctor's clearance on {on(day, book)}." for day in found if first <= day <= last]


def _line(says: str, number: int, what: str) -> str:
    return f"{says}: {count(number, what)}."
