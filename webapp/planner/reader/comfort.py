"""The comfortable depth of a discipline, how long ago the diver was near it, and where that lets them begin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .sentences import fill, steps
from .standing import Standing, rung_at

Json = Mapping[str, Any]


@dataclass(frozen=True)
class Comfort:
    """The comfortable depth as the season gives it, the deepest clean dives since, and the last day near it."""

    given_m: float
    repeats: int
    near_n: int
    deepest: tuple[float, ...] = ()


@dataclass(frozen=True)
class Idle:
    """The days since the last deep dive, and the rungs, with their reason, by which days off lower the next one."""

    days: int
    rungs: int
    why: str
    said: str


def comfortable_m(comfort: Comfort) -> float:
    """Return the deepest depth with enough clean dives in the log, or the season's if that is deeper."""
    is_known = len(comfort.deepest) == comfort.repeats
    return max(comfort.given_m, comfort.deepest[-1]) if is_known else comfort.given_m


def near_on(comfort: Comfort, n: int) -> Comfort:
    """Return the comfort after a dive near it on day `n`, which ends the time away."""
    return Comfort(comfort.given_m, comfort.repeats, n, comfort.deepest)


def dived_clean(comfort: Comfort, depth_m: float) -> Comfort:
    """Return the comfort after a clean dive of its own discipline to this depth."""
    if len(comfort.deepest) == comfort.repeats and depth_m <= comfort.deepest[-1]:
        return comfort
    deepest = sorted((*comfort.deepest, depth_m), reverse=True)[: comfort.repeats]
    return Comfort(comfort.given_m, comfort.repeats, comfort.near_n, tuple(deepest))


def opened(sheet: Json, ladder: Json, now: Standing, comfort: Comfort, n: int, idle: Idle) -> Standing:
    """Return the standing with which a deep dive of this day begins: after time away or days off a shallower one."""
    numbers = sheet["numbers"]
    run_in = 0 if now.is_set or idle.days < numbers["run_in_days"] else numbers["run_in_rungs"]
    shallower = max(run_in, idle.rungs)
    days = n - comfort.near_n
    row = next(row for row in sheet["away"] if row["to_days"] is None or days <= row["to_days"])
    if not row["is_full"]:
        return _after_time_away(sheet, ladder, now, comfort, row, days, shallower)
    if shallower == 0 or now.rung == 0:
        return now
    key = idle.why if idle.rungs >= shallower else "run_in"
    rung, back = max(0, now.rung - shallower), now.rung if now.back is None else now.back
    said = {
        "days": idle.days, "steps": steps(shallower, sheet["words"]),
        "depth": ladder["rungs"][back]["depth_m"], "why": idle.said,
    }  # fmt: skip
    return _on_the_way(now, rung, back, fill(sheet["words"][key], said))


def _after_time_away(
    sheet: Json, ladder: Json, now: Standing, comfort: Comfort, row: Json, days: int, shallower: int
) -> Standing:
    there_m = comfortable_m(comfort)
    rung = min(rung_at(ladder, row["share"] * there_m), max(0, now.rung - shallower))
    if rung >= now.rung:
        return now
    back = now.back if now.back is not None else min(now.rung, rung_at(ladder, there_m))
    said = {
        "start": ladder["rungs"][rung]["depth_m"], "percent": row["percent"], "comfortable": there_m, "days": days,
    }  # fmt: skip
    away = _on_the_way(now, rung, back, fill(sheet["words"]["away"], said))
    return away._replace(back_clean=0)


def _on_the_way(now: Standing, rung: int, back: int, why: str) -> Standing:
    """Return the standing at the foot of a way back, which ends at the rung `back`."""
    kept = now.clean if now.back is None and back == now.rung else 0
    return now._replace(
        rung=rung, clean=0, run=0, last=(), efforts=(), why=why,
        back=back if back > rung else None, back_clean=kept,
    )  # fmt: skip
