"""The surface interval: the chosen rules as rows of plain factors, so that the phone only multiplies and compares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ..rulebook.rulebook import Rulebook
from ..rulebook.sentences import fill, nth
from ..water.interval import Rule, bars_by_metre
from ..water.pressure import Water

Json = Mapping[str, Any]


def interval_rows(water: Water, book: Rulebook) -> dict[str, Any]:
    """Return {"bars": absolute pressure in bar at each whole metre, "rules": rows, "repetition": when it gets longer}.

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
    repetition = {name: value(f"repetition.{name}") for name in ("deep_m", "dives", "within_min", "factor")}
    bars = [round(bar, 3) for bar in bars_by_metre(book.limit("depth_m")[1], water)]
    return {"bars": bars, "rules": [asdict(rule) for rule in rules], "repetition": repetition}


def pause_after(sheet: Json, dives: Sequence[Json]) -> dict[str, Any] | None:
    """Return the pause after the last of the day's dives: {seconds, rules: [{name, seconds}], longer: words or None}.

    `dives` are in order, each {reached_m, dive_s, surfaced_s}; `surfaced_s` is any clock in seconds. What is left of an
    earlier dive's pause goes on: a shallow dive in between does not shorten it.
    """
    if not dives:
        return None
    pause, now_s = _pause_of_last(sheet, dives), dives[-1]["surfaced_s"]
    for count, dive in enumerate(dives[:-1], 1):
        left_s = math.ceil(_pause_of_last(sheet, dives[:count])["seconds"] - (now_s - dive["surfaced_s"]))
        if left_s > pause["seconds"]:
            longer = fill(sheet["words"]["still_running"], {"depth": dive["reached_m"]})
            pause = {**pause, "seconds": left_s, "longer": longer}
    return pause


def _pause_of_last(sheet: Json, dives: Sequence[Json]) -> dict[str, Any]:
    """Return the pause that the last dive asks for, longer when it is one of many."""
    last, repetition = dives[-1], sheet["interval"]["repetition"]
    rules = needed(sheet["interval"], last["reached_m"], last["dive_s"])
    seconds = rules[0]["seconds"] if rules else 0
    since = last["surfaced_s"] - 60 * repetition["within_min"]
    deep = [dive for dive in dives if dive["reached_m"] >= repetition["deep_m"] and dive["surfaced_s"] >= since]
    if len(deep) < repetition["dives"] or last["reached_m"] < repetition["deep_m"]:
        return {"seconds": seconds, "rules": rules, "longer": None}
    said = {
        "nth": nth(len(deep), sheet["words"]), "depth": repetition["deep_m"], "minutes": repetition["within_min"],
    }  # fmt: skip
    longer = fill(sheet["words"]["repeated"], said)
    return {"seconds": math.ceil(seconds * repetition["factor"]), "rules": rules, "longer": longer}


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
