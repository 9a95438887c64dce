"""The surface interval read from the sheet: look up, multiply, compare; which rule is the longest, and why."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from .sentences import fill, nth

Json = Mapping[str, Any]


def pause_after(sheet: Json, dives: Sequence[Json]) -> dict[str, Any] | None:
    """Return the pause after the last of the day's dives: {seconds, rules: [{name, seconds}], longer: words or None}.

    `dives` are in order, each {reached_m, dive_s, surfaced_s}; `surfaced_s` is in seconds on any clock. What is left of
    an earlier dive's pause still counts: a shallow dive in between does not shorten it.
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
    """Return the pause that the last dive asks for, longer if it is one of several deep dives."""
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
