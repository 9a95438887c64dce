"""The surface interval: its rules as rows of plain factors, so that the phone only multiplies and compares."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ..rulebook.rulebook import Rulebook
from ..water.interval import Rule, bars_by_metre
from ..water.pressure import Water
from .reader.sentences import fill

REPETITION = ("deep_m", "dives", "within_min", "many_m", "many_dives", "many_within_min", "factor", "most_times")


def interval_rows(water: Water, book: Rulebook) -> dict[str, Any]:
    """Return {"bars": pressure in bar at each whole metre, "rules": rows, "repetition": when it gets longer}.

    A row's pause in seconds, from `from_m` on: dive_s * per_dive + dive_s * bar * per_dive_bar + depth_m * per_m
    + fixed_s, where bar is looked up at the next whole metre down.
    """
    words, value = book.texts["words"], book.value
    times, metres, from_m = value("interval.dive_times"), value("interval.m_per_minute"), value("interval.deep_from_m")
    rules = [
        Rule(fill(words["interval_dive_times"], {"value": times}), per_dive=times),
        Rule(words["interval_dive_times_bar"], per_dive_bar=value("interval.dive_times_bar")),
        Rule(fill(words["interval_m_per_minute"], {"value": metres}), per_m=60 / metres),
        Rule(
            fill(words["interval_deep"], {"from": from_m}), fixed_s=60 * value("interval.deep_minutes"), from_m=from_m
        ),
        Rule(words["interval_own"], fixed_s=60 * value("interval.own_minutes")),
    ]
    bars = [round(bar, 3) for bar in bars_by_metre(book.limit("depth_m")[1], water)]
    return {"bars": bars, "rules": [asdict(rule) for rule in rules], "repetition": _repetition(book)}


def _repetition(book: Rulebook) -> dict[str, float]:
    numbers: dict[str, float] = {name: book.value(f"repetition.{name}") for name in REPETITION}
    # a diver whose factor is larger than the most chose both to be stricter
    return {**numbers, "most_times": max(numbers["most_times"], numbers["factor"])}
