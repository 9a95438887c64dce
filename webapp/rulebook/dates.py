"""Dates of years that can be meant: a far one is a slip in typing, and past the last one no calendar goes on."""

from __future__ import annotations

from typing import Any

from .checks import Faults
from .rulebook import Rulebook


def check_day(value: object, field: str, book: Rulebook, faults: Faults) -> Any:
    """Return a date YYYY-MM-DD of the years that the rulebook takes, or None after noting the fault."""
    day, (first, last) = faults.day(value, field), book.limit("year")
    if day is None or first <= int(day[:4]) <= last:
        return day
    faults.add(field, f"has to be a date of the years {first} to {last}")
    return None
