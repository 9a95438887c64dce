"""Typed strings to plain values; what cannot be read stays a string, so that the strict check names it."""

import re
from collections.abc import Mapping
from typing import Any

_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_BETWEEN_DAYS = re.compile(r"[\s,;]+")


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
    """Return the text without blanks around it, None for nothing."""
    return (text or "").strip() or None


def days(text: str | None) -> list[str]:
    """Return the dates of a typed list, parted by blanks, commas or lines."""
    return [day for day in _BETWEEN_DAYS.split(text or "") if day]


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
