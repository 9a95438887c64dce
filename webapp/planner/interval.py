"""The surface interval: the chosen rules as rows of plain factors, so that the phone only multiplies and compares."""

from __future__ import annotations

import math
from typing import Any

from .explain import fill
from .model import Site
from .rulebook import Rulebook


def interval_rows(site: Site, book: Rulebook) -> dict[str, Any]:
    """Return {"bars": absolute pressure in bar at each whole metre, "rules": rows}.

    A row's pause in seconds, from `from_m` on: dive_s * per_dive + dive_s * bar * per_dive_bar + depth_m * per_m
    + fixed_s, where bar is looked up at the next whole metre down.
    """
    words = book.texts["words"]
    times, bars, metres = (book.value(f"interval.{name}") for name in ("dive_times", "dive_times_bar", "m_per_minute"))
    rules = [
        _row(fill(words["interval_dive_times"], {"value": times}), per_dive=times),
        _row(words["interval_dive_times_bar"], per_dive_bar=bars),
        _row(fill(words["interval_m_per_minute"], {"value": metres}), per_m=60 / metres),
        _row(
            fill(words["interval_deep"], {"from": book.value("interval.deep_from_m")}),
            fixed_s=60 * book.value("interval.deep_minutes"),
            from_m=book.value("interval.deep_from_m"),
        ),
        _row(words["interval_own"], fixed_s=60 * book.value("interval.own_minutes")),
    ]
    return {"bars": _bars(site, book), "rules": rules}


def needed(table: dict[str, Any], reached_m: float, dive_s: float) -> list[dict[str, Any]]:
    """Return each rule's pause after this dive as {name, seconds}, the longest first."""
    bars = table["bars"]
    bar = bars[min(math.ceil(reached_m), len(bars) - 1)]
    pauses = [
        {
            "name": rule["name"],
            "seconds": math.ceil(
                dive_s * rule["per_dive"]
                + dive_s * bar * rule["per_dive_bar"]
                + reached_m * rule["per_m"]
                + rule["fixed_s"]
            ),
        }
        for rule in table["rules"]
        if reached_m >= rule["from_m"]
    ]
    return sorted((pause for pause in pauses if pause["seconds"] > 0), key=lambda pause: -pause["seconds"])


def _row(name: str, **factors: float) -> dict[str, Any]:
    zero = {"per_dive": 0, "per_dive_bar": 0, "per_m": 0, "fixed_s": 0, "from_m": 0}
    return {"name": name, **zero, **factors}


def _bars(site: Site, book: Rulebook) -> list[float]:
    deepest = int(book.limit("depth_m")[1])
    return [round(1.01325 + 0.1005 * metre, 3) for metre in range(deepest + 1)]
