"""Sentences: the rulebook's templates, filled in the same way as on the phone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from ...rulebook.checks import show

MINUTE_S = 60  # also the minutes of an hour


def fill(template: str, values: Mapping[str, Any]) -> str:
    """Return the sentence with each {name} replaced; numbers as people write them."""
    if "{" not in template:
        return template
    for name, value in values.items():
        template = template.replace("{" + name + "}", value if isinstance(value, str) else show(value))
    return template


def date_words(day: str, words: Mapping[str, Any]) -> str:
    """Return an ISO date as `3 May`."""
    return f"{int(day[8:10])} {words['months'][int(day[5:7]) - 1]}"


def nth(count: int, words: Mapping[str, Any]) -> str:
    """Return the ordinal of a count: `second`; past the end of the list `12.`."""
    ordinals = words["ordinals"]
    return str(ordinals[count]) if count < len(ordinals) else f"{count}."


def steps(count: int, words: Mapping[str, Any]) -> str:
    """Return a number of steps in words: `one step`, `2 steps`."""
    return str(words["one_step"]) if count == 1 else fill(words["some_steps"], {"count": count})


def clean_dives(count: int, words: Mapping[str, Any]) -> str:
    """Return a number of clean dives in words."""
    return str(words["one_clean_dive"]) if count == 1 else fill(words["some_clean_dives"], {"count": count})


def number(day: str) -> int:
    """Return the number of an ISO date in days; the readers compare only differences."""
    return date.fromisoformat(day).toordinal()


def seconds_of(clock: str) -> int:
    """Return a time of day HH:MM in seconds."""
    hours, minutes = clock.split(":")
    return (int(hours) * MINUTE_S + int(minutes)) * MINUTE_S
