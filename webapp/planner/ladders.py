"""The ladder of one discipline: its rungs, where it begins and ends, and what each rung asks for."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from ..records.model import Drill, Level, Season
from ..rulebook.rulebook import Rulebook
from .reader.sentences import fill

CardMaker = Callable[[str, float], dict[str, Any]]
ANY = 10**6  # more steps than any ladder has
HALF_M = 0.5  # depths that are calculated, not typed, are rounded down to half metres
EPSILON = 1e-9  # tolerance for floats at an edge: 32.2 - 0.5 is 31.700000000000003, 0.3 / 0.1 is 2.9999999999999996


def ladder_of(
    level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], card: CardMaker | None, climbs: int
) -> dict[str, Any]:
    """Return the ladder as plain JSON values.

    `stands` is the rung where the diver stands without time away, `start` the rung of the first day for phones whose
    app is older than the time away of every day. Without `card` the rungs have none: they are past.
    """
    stands_m, end_m = stand_depth(level, season, book), _end(level, season, book)
    depths = _depths(stands_m, end_m, level, book, climbs)
    start_m = _start_depth(level, season, book, depths)
    return {
        "start": depths.index(start_m),
        "start_why": _start_why(level, season, book, words, start_m),
        "stands": depths.index(stands_m),
        "stands_why": _stands_why(level, season, book, words, stands_m),
        "is_given": level.start_m is not None,
        "comfortable_m": level.comfortable_m if level.comfortable_m is not None else stands_m,
        "near_on": level.comfortable_on if level.start_m is None else season.first_day,
        "repeats": level.repeats,
        "best_m": level.best_m,
        "cap_m": _cap(season, book),
        **_ends(level, season, book, words, depths[-1], _depths(stands_m, end_m, level, book, ANY)[-1]),
        "goals": [list(goal) for goal in level.goals],
        "rungs": _rungs(depths, level, season, book, card),
    }


def stand_depth(level: Level, season: Season, book: Rulebook) -> float:
    """Return the depth in metres where the ladder stands before any time away: as given, or the comfortable depth.

    A comfortable depth is rounded down to the step; never shallower than the lowest rung, never deeper than the end.
    """
    end_m = _end(level, season, book)
    return round(max(_lowest(end_m, book), min(_wanted(level, 1.0), end_m)), 2)


def _lowest(end_m: float, book: Rulebook) -> float:
    """Return the shallowest rung: the book's, or the end of a ladder that ends above it."""
    return min(float(book.value("ladder.lowest_m")), end_m)


def _wanted(level: Level, share: float) -> float:
    if level.start_m is not None:
        return level.start_m
    assert level.comfortable_m is not None  # noqa: S101 - the season's check makes sure of it
    return _round_down(level.comfortable_m * share, level.step_m)


def _start_depth(level: Level, season: Season, book: Rulebook, depths: list[float]) -> float:
    """Return the rung of the first day: the given start, or what time away leaves of the comfortable depth."""
    share_m = _wanted(level, _share_left(level, season, book)) + EPSILON
    return depths[max(0, bisect_right(depths, share_m) - 1)]


def _days_away(level: Level, season: Season) -> int:
    assert level.comfortable_on is not None  # noqa: S101 - the season's check makes sure of it
    away = date.fromisoformat(season.first_day) - date.fromisoformat(level.comfortable_on)
    return max(0, away.days)


def _share_left(level: Level, season: Season, book: Rulebook) -> float:
    if level.start_m is not None:
        return 1.0
    days, rows = _days_away(level, season), book.value("start.time_away")
    return float(next(row["share"] for row in rows if row.get("to_days") is None or days <= row["to_days"]))


def _cap(season: Season, book: Rulebook) -> float:
    """Return the deepest rung that the site and the input check allow."""
    above_bottom = season.site.bottom_m - book.value("ladder.above_bottom_m")
    return round(min(float(above_bottom), float(book.limit("depth_m")[1])), 2)


def _end(level: Level, season: Season, book: Rulebook) -> float:
    """Return the depth that the ladder never passes: the deepest goal, or a little beyond the best without one."""
    beyond_m = float(book.value("ladder.most_beyond_best_m"))
    wanted_m = level.goals[-1][1] if level.goals else max(level.best_m + beyond_m, level.start_m or 0)
    return round(min(wanted_m, _cap(season, book)), 2)


def _ends(
    level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], deepest_m: float, with_days_m: float
) -> dict[str, Any]:
    """Return where the ladder ends and why, in words, and which sentence stands on its last rung.

    `with_days_m` is where it would end with days enough.
    """
    end_m, cap_m = _end(level, season, book), _cap(season, book)
    key = "no_goal" if not level.goals else "goal" if end_m < cap_m or level.goals[-1][1] == cap_m else "site"
    said = {"depth": end_m if key == "no_goal" else deepest_m, "beyond": round(max(0, end_m - level.best_m), 2)}
    if deepest_m < with_days_m and key != "no_goal":
        key = "days"
    top = {"goal": "top_goal", "site": "top", "days": "top", "no_goal": "top_no_goal"}[key]
    return {"end_m": end_m, "ends_says": fill(words[f"ends_{key}"], said), "top": top, "beyond_m": said["beyond"]}


def _depths(stands_m: float, end_m: float, level: Level, book: Rulebook, climbs: int) -> list[float]:
    """Return the rungs from the shallowest to the end, as far as the days of the season allow.

    The last step up, and the step to a goal that lies between two rungs, may be shorter ones.
    """
    lowest_m, step_to = _lowest(end_m, book), _paces(level, book)
    ends_on_goal = bool(level.goals) and level.goals[-1][1] == end_m
    shallower = [stands_m]
    while shallower[-1] > lowest_m:
        step_m = next(step_m for step_m, most_m in step_to if shallower[-1] <= most_m)
        shallower.append(max(lowest_m, round(shallower[-1] - step_m, 2)))
    deeper = [stands_m]
    while len(deeper) <= climbs and deeper[-1] < end_m:
        step_m = next(step_m for step_m, most_m in step_to if deeper[-1] + step_m <= most_m)
        reached_m = round(deeper[-1] + step_m, 2)
        if reached_m > end_m and not ends_on_goal:
            break
        deeper.append(min(reached_m, end_m))
    return [*reversed(shallower[1:]), *deeper]


def _paces(level: Level, book: Rulebook) -> list[tuple[float, float]]:
    """Return the season's step and the shorter ones of the pace, each with the depth down to which it may lead."""
    rows = [(row.get("to_share"), float(row["step_m"])) for row in book.value("ladder.pace")]
    shorter = sorted({pace for _, pace in rows if pace < level.step_m}, reverse=True)
    found = []
    for step_m in [level.step_m, *shorter]:
        stops = next((at for at, (_, pace) in enumerate(rows) if pace + EPSILON < step_m), None)
        edge = math.inf if stops is None else 0.0 if stops == 0 else (rows[stops - 1][0] or 0) * level.best_m + EPSILON
        found.append((step_m, edge))
    return [*found, (min(pace for _, pace in rows), math.inf)]


def _rungs(
    depths: list[float], level: Level, season: Season, book: Rulebook, card: CardMaker | None
) -> list[dict[str, Any]]:
    """Return the rungs; what is the same for all of them is looked up once."""
    resume_share, warm_up_m = book.value("resume.share") + EPSILON, book.value("warm_up.depth_m")
    has_warm_up = book.value("warm_up.dives") > 0
    drill = next((drill for block in season.blocks for drill in block.drills), None)
    back, pace = int(book.value("return.step_factor")), book.value("ladder.pace")
    rungs = []
    for at, depth_m in enumerate(depths):
        above = well_above(depth_m, book)
        rung: dict[str, Any] = {
            "depth_m": depth_m,
            "needs": _needs(depth_m, level, book),
            **_cut(depths, at, level),
            **({"single": True} if _is_single(depth_m - depths[max(0, at - back)], depth_m, level, pace) else {}),
            "resume": max(0, bisect_right(depths, depth_m * resume_share) - 1),
            "near_m": most_drilled(depth_m, book),
        }
        if has_warm_up:
            rung["warm_up_m"] = above(warm_up_m)
        if card:
            made = card(level.discipline, depth_m)
            drill_m = drilled(drill, season, book, (level.discipline, depth_m)) if drill else 0.0  # for older apps
            rung |= {"drill_m": drill_m, "expected_s": made["total_s"], "card": made}
        rungs.append(rung)
    return rungs


def _needs(depth_m: float, level: Level, book: Rulebook) -> int:
    """Return the clean dives that a rung needs: fewer below the best, never fewer than the book's beyond it."""
    if depth_m < level.best_m:
        return level.repeats_below_best
    least = int(book.value("ladder.beyond_best_repeats"))
    return max(level.repeats, least) if depth_m > level.best_m else level.repeats


def _cut(depths: list[float], at: int, level: Level) -> dict[str, float]:
    """Return the step to this rung if the pace made it shorter than the season's step."""
    step_m = round(depths[at] - depths[at - 1], 2) if at else level.step_m
    ends_there = at == len(depths) - 1 and bool(level.goals) and depths[at] == level.goals[-1][1]
    return {"step_m": step_m} if at > 1 and step_m < level.step_m and not ends_there else {}


def _is_single(step_m: float, depth_m: float, level: Level, pace: Sequence[Mapping[str, Any]]) -> bool:
    """Tell whether the longer step of the way back may not lead to this rung: the pace is shorter there."""
    edge = depth_m / level.best_m - EPSILON
    row = next(row for row in pace if row.get("to_share") is None or edge <= row["to_share"])
    return step_m > float(row["step_m"]) + EPSILON


def drill_depth(drill: Drill, season: Season) -> float:
    """Return a drill's depth in metres; a share is that of the comfortable depth as the season gives it."""
    if drill.depth_m is not None:
        return drill.depth_m
    level = next(level for level in season.levels if level.discipline == drill.discipline)
    return half_metres((level.comfortable_m or level.start_m or 0) * (drill.share or 0))


def drilled(drill: Drill, season: Season, book: Rulebook, deep: tuple[str, float]) -> float:
    """Return a drill's depth beside a deep dive (discipline, m); a share in its discipline is at most one of it."""
    (discipline, depth_m), wanted_m = deep, drill_depth(drill, season)
    if drill.share is not None and drill.discipline == discipline:
        wanted_m = min(wanted_m, half_metres(depth_m * drill.share))
    return min(wanted_m, most_drilled(depth_m, book))


def most_drilled(target_m: float, book: Rulebook) -> float:
    """Return how deep a drill beside this deep dive may be: clearly shallower, and no second deep dive."""
    share_m = half_metres(target_m * book.value("second_dive.drill_share"))
    return min(well_above(target_m, book)(math.inf), share_m)


def half_metres(depth_m: float) -> float:
    """Return a depth rounded down to half metres."""
    return _round_down(depth_m, HALF_M)


def well_above(target_m: float, book: Rulebook) -> Callable[[float], float]:
    """Return the function that gives a wanted depth, or the deepest half metre that is no second deep dive here."""
    edge_m = (book.value("second_dive.share") - EPSILON) * target_m
    most_m = (math.ceil(edge_m / HALF_M - EPSILON) - 1) * HALF_M
    return lambda wanted_m: wanted_m if wanted_m < edge_m else most_m


def _round_down(depth_m: float, step_m: float) -> float:
    return round(max(0, math.floor(depth_m / step_m + EPSILON)) * step_m, 2)


def _start_why(level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], start_m: float) -> str:
    """Return why the ladder starts there on the first day, for phones with an older app."""
    share = _share_left(level, season, book)
    if level.start_m is not None or share == 1 or _wanted(level, share) != start_m:
        return _stands_why(level, season, book, words, start_m)
    said = {
        "start": start_m, "percent": round(share * 100),
        "comfortable": level.comfortable_m, "days": _days_away(level, season),
    }  # fmt: skip
    return fill(words["start_away"], said)


def _stands_why(level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], stands_m: float) -> str:
    wanted_m = _wanted(level, 1.0)
    if wanted_m < stands_m:
        return fill(words["start_lowest"], {"start": stands_m})
    if wanted_m > stands_m:
        is_goal = bool(level.goals) and level.goals[-1][1] < _cap(season, book)
        return fill(words["start_goal" if is_goal else "start_capped"], {"start": stands_m})
    if level.start_m is not None:
        return fill(words["start_given"], {"depth": stands_m})
    return fill(words["start_comfortable"], {"start": stands_m, "comfortable": level.comfortable_m})
