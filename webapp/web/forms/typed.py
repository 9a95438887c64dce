"""Typed strings to plain values; what cannot be read stays a string, so that the strict check names it."""

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_BETWEEN_DAYS = re.compile(r"[\s,;]+")
_ISO_DAY = r"\d{4}-\d\d-\d\d"
_DOTTED_DAY = re.compile(r"\b(\d{1,2})\.(\d{1,2})\.(\d{4})\b")  # dates with dots have the day first everywhere
_RANGE = re.compile(rf"({_ISO_DAY})\s*(?:to|until|-|–|—|\.\.+)\s*({_ISO_DAY})", re.IGNORECASE)
_LONGEST_RANGE = 366
_SHORTEST_RANGE = 3  # shown as one line


def number(text: str | None) -> Any:
    """Return the number typed (a comma is a decimal point), None for nothing, else the text as it is."""
    stripped = (text or "").strip()
    if not stripped:
        return None
    if not _NUMBER.fullmatch(stripped):
        return stripped
    value = float(stripped.replace(",", "."))
    return int(value) if value.is_integer() else value


def words(text: str | None) -> str | None:
    """Return the text without spaces around it, None for nothing."""
    return (text or "").strip() or None


def days(text: str | None) -> list[str]:
    """Return the dates of a typed list, separated by spaces, commas or lines; "first to last" is a range.

    Text that is no date, or a range that runs backwards or for years, stays as typed: the strict check names it.
    """
    iso = _DOTTED_DAY.sub(lambda found: f"{found[3]}-{found[2]:0>2}-{found[1]:0>2}", text or "")
    return [day for day in _BETWEEN_DAYS.split(_RANGE.sub(_each_day, iso)) if day]


def _each_day(found: re.Match[str]) -> str:
    try:
        first, last = (date.fromisoformat(day) for day in found.groups())
    except ValueError:
        return found[0]
    if not 0 <= (last - first).days < _LONGEST_RANGE:
        return found[0]
    return " ".join((first + timedelta(days=n)).isoformat() for n in range((last - first).days + 1))


def show_days(days: Iterable[str]) -> str:
    """Return dates one on a line, consecutive days as one range; `days` reads it back."""
    ranges: list[list[str]] = []
    for day in sorted(set(days)):
        if ranges and date.fromisoformat(day) - date.fromisoformat(ranges[-1][-1]) == timedelta(days=1):
            ranges[-1].append(day)
        else:
            ranges.append([day])
    whole = ([f"{run[0]} to {run[-1]}"] if len(run) >= _SHORTEST_RANGE else run for run in ranges)
    return "\n".join(line for lines in whole for line in lines)


def length(first: str | None, last: str | None) -> int:
    """Return the number of days from first to last, both counted; 1 when they are not two dates in this order."""
    try:
        span = date.fromisoformat(words(last) or "") - date.fromisoformat(words(first) or "")
    except ValueError:
        return 1
    return max(span.days, 0) + 1


def show(value: Any) -> str:
    """Return a plain value as people type it: nothing is empty, 40.0 is 40."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def dig(raw: Mapping[str, Any], name: str) -> Any:
    """Return the value at a dotted name, None where anything on the way is missing."""
    value: Any = raw
    for part in name.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value
