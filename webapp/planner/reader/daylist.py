"""The list of one day: what is planned in the order of diving, and which of it is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .sentences import fill
from .standing import Standing, needed

Json = Mapping[str, Any]
RungOf = Callable[[str], int]


@dataclass(frozen=True)
class Wanted:
    """The deep dive of a day: its discipline, the standing with which the day begins, the rung to dive, and why.

    `is_asked`: the diver asked for an easier day, and the dive does not count towards the next step.
    """

    name: str
    standing: Standing
    rung: int
    why: str
    is_asked: bool


def planned(
    sheet: Json, wanted: Wanted, kind: str, drills: Sequence[Json], near: Mapping[str, int], comfortable: RungOf
) -> list[dict[str, Any]]:
    """Return warm-ups, the deep dive and drills of a deep day, or the drills of an easy day; else nothing.

    `near` holds the rung of each ladder on this day, `comfortable` gives the rung of a comfortable depth.
    """
    ladders = sheet["disciplines"]
    if kind == "easy":
        return [one for drill in drills for one in _easy_drills(sheet, drill, wanted.name, near, comfortable)]
    if kind != "deep":
        return []
    rung, count = ladders[wanted.name]["rungs"][wanted.rung], sheet["warm_ups"]
    why, numbers = sheet["words"]["warm_up"], range(1, count + 1)
    warm = [_dive(wanted.name, "warm-up", rung["warm_up_m"], number, count, why) for number in numbers]
    after = [
        one
        for drill in drills
        for one in _drills(drill, min(_depth_m(drill, near, comfortable), rung["near_m"]), sheet["words"]["drill"])
    ]
    return [*warm, deep(sheet, wanted, wanted.why), *after]


def deep(sheet: Json, wanted: Wanted, why: str) -> dict[str, Any]:
    """Return the deep dive of a day as planned."""
    ladder = sheet["disciplines"][wanted.name]
    depth_m = ladder["rungs"][wanted.rung]["depth_m"]
    if wanted.is_asked:
        return _dive(wanted.name, "deep", depth_m, 1, 1, why)
    needs = needed(sheet, ladder, wanted.standing)
    return _dive(wanted.name, "deep", depth_m, min(wanted.standing.clean + 1, needs), needs, why)


def again(sheet: Json, wanted: Wanted, turned: Json) -> dict[str, Any]:
    """Return the second try that a dive turned early leaves open on the same day; `wanted.why` tells a step down."""
    said = {
        "reached": turned["reached_m"],
        "depth": turned["target_m"],
        "percent": sheet["numbers"]["second_try_percent"],
    }
    why = "; ".join(filter(None, [wanted.why, fill(sheet["words"]["second_try"], said)]))
    return {**deep(sheet, wanted, why), "again": True}


def mark_new_bests(dives: Sequence[dict[str, Any]], words: Json, bests: Mapping[str, float]) -> None:
    """Mark each planned dive that is deeper than the diver's best in its discipline."""
    for dive in dives:
        best_m = bests.get(dive["discipline"])
        if best_m is not None and dive["target_m"] > best_m:
            dive["new_best"] = True
            dive["best_says"] = fill(words["new_best"], {"best": best_m})


def tick(dives: list[dict[str, Any]], dive: Json) -> None:
    """Mark the planned dive that this logged dive completes: the first open one of its role and discipline."""
    for listed in dives:
        if listed["done"] is None and listed["role"] == dive["role"] and listed["discipline"] == dive["discipline"]:
            listed["done"] = dive["id"]
            return


def without_second_try(dives: list[dict[str, Any]]) -> None:
    """Take the second try off the list, because another deep dive was made instead."""
    dives[:] = [dive for dive in dives if "again" not in dive or dive["done"] is not None]


def no_deeper_than(dives: list[dict[str, Any]], most_m: float, words: Json) -> None:
    """Take what is deeper off the rest of the day: open deep dives go, other open dives get shallower."""
    dives[:] = [
        dive for dive in dives if dive["done"] is not None or dive["role"] != "deep" or dive["target_m"] <= most_m
    ]
    for dive in dives:
        if dive["done"] is None and dive["target_m"] > most_m:
            dive["target_m"], dive["why"] = most_m, fill(words["no_deeper_today"], {"most": most_m})


def _easy_drills(
    sheet: Json, drill: Json, main: str, near: Mapping[str, int], comfortable: RungOf
) -> list[dict[str, Any]]:
    """Return drills too shallow to count as deep dives: deep ones would make the next day easy as well."""
    name = drill["discipline"]
    said = {"percent": sheet["numbers"]["easy_percent"], "discipline": name}
    ladder = name if name in near else main
    near_m = sheet["disciplines"][ladder]["rungs"][near[ladder]]["near_m"]
    depth_m = min(_depth_m(drill, near, comfortable), drill["easy_m"], near_m)
    return _drills(drill, depth_m, fill(sheet["words"]["drill_easy"], said))


def _depth_m(drill: Json, near: Mapping[str, int], comfortable: RungOf) -> float:
    """Return how deep a drill is to go: its own depth, or a share of where its discipline stands now.

    That is its rung of the day, or the comfortable depth when that is shallower.
    """
    name = drill["discipline"]
    depth_m: float = (
        drill["depth_m"] if drill["by_rung"] is None else drill["by_rung"][min(near[name], comfortable(name))]
    )
    return depth_m


def _drills(drill: Json, depth_m: float, why: str) -> list[dict[str, Any]]:
    if depth_m <= 0:  # the rules leave no room for a drill
        return []
    count, focus = drill["dives"], {"focus": drill["focus"]} if drill["focus"] else {}
    numbers = range(1, count + 1)
    return [{**_dive(drill["discipline"], "drill", depth_m, number, count, why), **focus} for number in numbers]


def _dive(discipline: str, role: str, target_m: float, repeat: int, repeats: int, why: str) -> dict[str, Any]:
    return {
        "discipline": discipline, "role": role, "target_m": target_m,
        "repeat": repeat, "repeats": repeats, "why": why, "done": None,
    }  # fmt: skip
