"""Where a diver stands on one ladder, and where a dive takes them: each change makes a new standing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from .sentences import fill, nth


@dataclass(frozen=True)
class Standing:
    """A rung (its index), the clean dives on it, the run of hard or turned dives, and why it is this rung."""

    rung: int
    clean: int
    run: int
    why: str


def moved(
    sheet: Mapping[str, Any],
    ladder: Mapping[str, Any],
    now: Standing,
    verdict: str,
    reached_m: float,
    assumed: bool,
) -> Standing:
    """Return the standing after a dive on the plan that was clean, hard or turned.

    `assumed` words it as a dive still to come. For worse verdicts see `lowered`.
    """
    words, depth_m = sheet["words"], ladder["rungs"][now.rung]["depth_m"]
    if sheet["verdicts"][verdict]["counts"]:
        if reached_m < depth_m - sheet["numbers"]["tolerance_m"]:
            return replace(now, run=0, why=fill(words["short"], {"reached": reached_m, "depth": depth_m}))
        return _counted(words, ladder, now, "_if" if assumed else "")
    run = now.run + 1
    if run < sheet["verdicts"][verdict]["run_limit"]:
        return replace(now, run=run, why=fill(words[verdict], {"reached": reached_m, "depth": depth_m}))
    why = fill(words["down" if now.rung > 0 else "lowest"], {"count": run, "depth": depth_m})
    return lowered(now, 1, why)


def lowered(now: Standing, steps: int, why: str) -> Standing:
    """Return the standing this many rungs shallower; the clean count and the run start again."""
    return Standing(max(0, now.rung - steps), 0, 0, why)


def resumed(sheet: Mapping[str, Any], ladder: Mapping[str, Any], now: Standing, values: Mapping[str, Any]) -> Standing:
    """Return the standing from which this ladder continues after a stand-down."""
    rung, numbers = ladder["rungs"][now.rung], sheet["numbers"]
    start_m = ladder["rungs"][rung["resume"]]["depth_m"]
    key = "resume_lowest" if start_m > numbers["resume_share"] * rung["depth_m"] else "resume"
    said = {**values, "percent": numbers["resume_percent"], "depth": rung["depth_m"], "start": start_m}
    return Standing(rung["resume"], 0, 0, fill(sheet["words"][key], said))


def _counted(words: Mapping[str, Any], ladder: Mapping[str, Any], now: Standing, ending: str) -> Standing:
    clean, depth_m = now.clean + 1, ladder["rungs"][now.rung]["depth_m"]
    said = {"nth": nth(clean, words), "depth": depth_m, "left": ladder["repeats"] - clean}
    if clean < ladder["repeats"]:
        return Standing(now.rung, clean, 0, fill(words["again" + ending], said))
    if now.rung + 1 < len(ladder["rungs"]):
        return Standing(now.rung + 1, 0, 0, fill(words["up" + ending], said))
    return Standing(now.rung, clean, 0, fill(words["top" + ending], said))
