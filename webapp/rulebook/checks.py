"""The small strict checks that all input must pass: they collect every fault instead of stopping at the first."""

from __future__ import annotations

import re
from collections.abc import Collection, Container, Mapping
from datetime import date
from functools import lru_cache
from math import isfinite
from typing import Any

from .faults import Fault, Refused

_HUGE = 1e12
_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_INSTANT = re.compile(r"\d{4}-\d\d-\d\dT([01]\d|2[0-3]):[0-5]\d:[0-5]\dZ")
_UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
DAY_LENGTH = len("YYYY-MM-DD")
HALF = "must be text of whole characters: it contains half of one"
NOT_FINITE = "must be a finite number"
_HALF = re.compile(r"[\ud800-\udfff]")  # half of a character that is written in two: no file can hold it


def show(number: float) -> str:
    """Return a number as people write it: 40, 72.5."""
    return f"{number:g}"


def is_number(value: object) -> bool:
    """Tell whether this is a finite number; True and False are not numbers here."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    return abs(value) < _HUGE  # false for NaN too; also keeps out whole numbers that are too large for a float


def is_day(value: object) -> bool:
    """Tell whether this is a real calendar date written YYYY-MM-DD."""
    return isinstance(value, str) and len(value) == DAY_LENGTH and _is_date(value)


@lru_cache(maxsize=1024)
def _is_date(text: str) -> bool:
    """Tell this of a text of the right length; the dives of a batch are of a few days."""
    try:
        return bool(_DAY.fullmatch(text) and date.fromisoformat(text))
    except ValueError:
        return False


def is_whole(text: str) -> bool:
    """Tell whether this text has no half character, which JSON can name and nothing can store."""
    return text.isascii() or not _HALF.search(text)


def named_halves(text: str) -> str:
    """Return the text with each half character named as JSON names it, so that it can be stored."""
    return _HALF.sub(lambda half: f"\\u{ord(half[0]):04x}", text)


def unstorable(value: object) -> str | None:
    """Return what keeps a value of JSON from being stored, wherever in it that is; None when nothing does."""
    if value is None or isinstance(value, int) or (isinstance(value, str) and value.isascii()):
        return None  # most of what a phone sends
    left = [value]
    while left:
        one = left.pop()
        if isinstance(one, str) and not is_whole(one):
            return HALF
        if isinstance(one, float) and not isfinite(one):
            return NOT_FINITE
        if isinstance(one, Mapping):
            left += [*one, *one.values()]
        elif isinstance(one, list):
            left += one
    return None


class Faults:
    """Collects faults; each check returns the value, or None after noting a fault."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def add(self, field: str, says: str) -> None:
        """Note one fault; a field that is named by half a character is named as JSON names it."""
        self.found.append(Fault(named_halves(field), says))

    def refuse_if_any(self) -> None:
        """Raise Refused with all faults found so far, if there are any."""
        if self.found:
            raise Refused(self.found)

    def number(self, value: object, field: str, low: float | None, high: float | None, *, whole: bool = False) -> Any:
        """Return a number within the bounds and with at most two decimals."""
        if value.__class__ is int and low is not None and high is not None and low <= value <= high:
            return value  # as most are
        if is_number(value) and not (whole and value != int(value)):  # type: ignore[call-overload]
            if (low is None or value >= low) and (high is None or value <= high):  # type: ignore[operator]
                return int(value) if whole else round(value, 2)  # type: ignore[call-overload]
            found = f", not {show(value)}"  # type: ignore[arg-type]
        else:
            found = ""
        between = "" if low is None or high is None else f" from {show(low)} to {show(high)}"
        kind = "a whole number" if whole else "a number"
        missing = value is None or value == ""
        self.add(field, f"{'is missing:' if missing else 'must be'} {kind}{between}{found}")
        return None

    def optional(self, value: object, field: str, low: float, high: float, *, whole: bool = False) -> Any:
        """Return a number within the bounds, or None if none is given."""
        return None if value is None else self.number(value, field, low, high, whole=whole)

    def day(self, value: object, field: str) -> Any:
        """Return a date written YYYY-MM-DD."""
        if is_day(value):
            return value
        self.add(field, "is missing: a date as YYYY-MM-DD" if not value else "must be a date as YYYY-MM-DD")
        return None

    def clock(self, value: object, field: str) -> Any:
        """Return a time of day HH:MM, or None if none is given."""
        if value is None or (isinstance(value, str) and _CLOCK.fullmatch(value)):
            return value
        self.add(field, "must be a time of day as HH:MM")
        return None

    def instant(self, value: object, field: str) -> Any:
        """Return a time in UTC as YYYY-MM-DDTHH:MM:SSZ, or None if none is given."""
        if value is None or (isinstance(value, str) and _INSTANT.fullmatch(value) and is_day(value[:10])):
            return value
        self.add(field, "must be a time in UTC as YYYY-MM-DDTHH:MM:SSZ")
        return None

    def uuid(self, value: object, field: str, *, needed: bool = False) -> Any:
        """Return the name of a record or person, or None if none is given and none is `needed`."""
        if (value is None and not needed) or (isinstance(value, str) and _UUID.fullmatch(value)):
            return value
        self.add(field, "is missing" if value is None else "must be a UUID")
        return None

    def text(self, value: object, field: str, longest: float) -> Any:
        """Return text of at most `longest` characters; None counts as empty text."""
        if value is None:
            return ""
        if not isinstance(value, str):
            self.add(field, "must be text")
        elif len(value) > longest or "\x00" in value:
            self.add(field, f"must be text of at most {show(longest)} characters")
        elif not is_whole(value):
            self.add(field, HALF)
        else:
            return value
        return None

    def choice(self, value: object, field: str, allowed: Collection[str]) -> Any:
        """Return one of the allowed words."""
        if isinstance(value, str) and value in allowed:
            return value
        missing = value is None or value == ""
        self.add(field, f"{'is missing:' if missing else 'must be'} one of {', '.join(allowed)}")
        return None

    def codes(self, value: object, field: str, allowed: Collection[str]) -> list[str]:
        """Return the chosen codes in the order of the list, each once; None counts as none of them."""
        chosen = [] if value is None else value
        if not isinstance(chosen, list) or not all(isinstance(one, str) and one in allowed for one in chosen):
            self.add(field, f"must be a list of some of {', '.join(allowed)}")
            return []
        return [code for code in allowed if code in chosen]

    def texts(self, value: object, field: str, longest: float, most: float) -> list[str]:
        """Return at most `most` texts, each once, in the order given; None counts as none."""
        given = [] if value is None else value
        if not isinstance(given, list) or len(given) > most:
            self.add(field, f"must be a list of at most {show(most)} texts")
            return []
        found = [self.text(one, f"{field}[{index}]", longest) for index, one in enumerate(given)]
        return list(dict.fromkeys(one for one in found if one))

    def yes(self, value: object, field: str) -> bool:
        """Return true or false; None counts as false."""
        if value is None or isinstance(value, bool):
            return bool(value)
        self.add(field, "must be true or false")
        return False

    def group(self, value: object, field: str, known: Container[str]) -> Mapping[str, Any]:
        """Return the object, noting each field that is not known; an empty one if it is no object."""
        if not isinstance(value, Mapping):
            self.add(field, "must be an object")
            return {}
        for name in value:
            if name not in known:
                self.add(f"{field}.{name}" if field else str(name), "is not a known field")
        return value
