"""The list of one day: what is planned in the order of diving, and which of it is done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .sentences import fill
from .standing import Standing

Json = Mapping[str, Any]


def planned(sheet: Json, lead: str, now: Mapping[str, Standing], kind: str) -> list[dict[str, Any]]:
    """Return warm-ups, the deep dive and drills of a deep day, or the drills of an easy day; else nothing."""
    if kind == "easy":
        return _easy_drills(sheet, lead, now)
    if kind != "deep":
        return []
    rung, count = rung_of(sheet, lead, now), sheet["warm_ups"]
    why, numbers = sheet["words"]["warm_up"], range(1, count + 1)
    warm = [_dive(lead, "warm-up", rung["warm_up_m"], number, count, why) for number in numbers]
    drills = _drills(sheet, rung["drill_m"], sheet["words"]["drill"])
    return [*warm, _deep(sheet, lead, now[lead], now[lead].why), *drills]


def rung_of(sheet: Json, name: str, now: Mapping[str, Standing]) -> Json:
    """Return the rung on which a ladder stands."""
    rung: Json = sheet["disciplines"][name]["rungs"][now[name].rung]
    return rung


def _deep(sheet: Json, lead: str, now: Standing, why: str) -> dict[str, Any]:
    """Return the deep dive of a day as planned from this standing."""
    ladder = sheet["disciplines"][lead]
    repeat = min(now.clean + 1, ladder["repeats"])
    return _dive(lead, "deep", ladder["rungs"][now.rung]["depth_m"], repeat, ladder["repeats"], why)


def again(sheet: Json, lead: str, now: Standing, turned: Json) -> dict[str, Any]:
    """Return the second try that a dive turned early leaves open on the same day."""
    said = {
        "reached": turned["reached_m"],
        "depth": turned["target_m"],
        "percent": sheet["numbers"]["second_try_percent"],
    }
    return {**_deep(sheet, lead, now, fill(sheet["words"]["second_try"], said)), "again": True}


def tick(dives: list[dict[str, Any]], dive: Json) -> None:
    """Mark the planned dive that this logged dive completes: the first open one of its role and discipline."""
    for listed in dives:
        if listed["done"] is None and listed["role"] == dive["role"] and listed["discipline"] == dive["discipline"]:
            listed["done"] = dive["id"]
            return


def without_second_try(dives: list[dict[str, Any]]) -> None:
    """Take the second try off the list, because another deep dive was made instead."""
    dives[:] = [dive for dive in dives if "again" not in dive or dive["done"] is not None]


def _easy_drills(sheet: Json, lead: str, now: Mapping[str, Standing]) -> list[dict[str, Any]]:
    """Return drills too shallow to count as deep dives: deep ones would make the next day easy as well."""
    drill = sheet["drill"]
    if drill is None:
        return []
    name = drill["discipline"]
    said = {"percent": sheet["numbers"]["easy_percent"], "discipline": name}
    near_m = rung_of(sheet, name if name in now else lead, now)["drill_m"]
    return _drills(sheet, min(drill["easy_m"], near_m), fill(sheet["words"]["drill_easy"], said))


def _drills(sheet: Json, depth_m: float, why: str) -> list[dict[str, Any]]:
    drill = sheet["drill"] or {"discipline": "", "dives": 0}
    count = drill["dives"]
    return [_dive(drill["discipline"], "drill", depth_m, number, count, why) for number in range(1, count + 1)]


def _dive(discipline: str, role: str, target_m: float, repeat: int, repeats: int, why: str) -> dict[str, Any]:
    return {
        "discipline": discipline, "role": role, "target_m": target_m,
        "repeat": repeat, "repeats": repeats, "why": why, "done": None,
    }  # fmt: skip
