"""Dates in the years that make sense: any other is a typing error, and no date can be calculated after year 9999."""

from __future__ import annotations

from typing import Any

from .checks import Faults
from .rulebook import Rulebook


def check_day(value: object, field: str, book: Rulebook, faults: Faults) -> Any:
    """Return a date YYYY-MM-DD in the years that the rulebook accepts, or None after noting the fault."""
    day, (first, last) = faults.day(value, field), book.limit("year")
    if day is None or first <= int(day[:4]) <= last:
        return day
    faults.add(field, f"must be a date in the years {first} to {last}")
    return None
