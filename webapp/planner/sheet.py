"""The ladder sheet: season and rulebook compiled to look-up tables, so that two thin readers can apply the log to it.

All arithmetic of the trade is done here, once; the readers only look up and count.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from ..records.model import Level, Season
from ..rulebook.rulebook import Rulebook
from .calendar import Day, days_of
from .cards import Speeds, card_maker, speeds_of, water_of
from .interval import interval_rows
from .reader.sentences import fill

FORMAT = 1
CardMaker = Callable[[str, float], dict[str, Any]]
HALF_M = 0.5  # depths that are calculated, not typed, are rounded down to half metres
EPSILON = 1e-9  # tolerance for floats at an edge: 32.2 - 0.5 is 31.700000000000003, 0.3 / 0.1 is 2.9999999999999996


def compile_sheet(season: Season, book: Rulebook, speeds: Speeds | None = None) -> dict[str, Any]:
    """Return the ladder sheet as plain JSON values; `book` already includes the season's own rules.

    `speeds` are the diver's own by discipline (see `cards.speeds_of`); without them the book's are used.
    """
    words, speeds = _words(book), speeds or speeds_of((), book)
    card, days = card_maker(season, book, speeds), days_of(season)
    return {
        "format": FORMAT,
        "first_day": season.first_day,
        "site": asdict(season.site),
        "days": [{"date": day.date, "block": day.block, "kind": day.kind, "lead": day.lead} for day in days],
        "disciplines": {
            level.discipline: _ladder(level, season, book, words, card, _climbs(days, level)) for level in season.levels
        },
        "spacing": [{"to_m": None, **row} for row in book.value("spacing")],
        "drill": _easy_drill(season, book),
        "warm_ups": book.value("warm_up.dives"),
        "numbers": _numbers(book),
        "limits": book.texts["limit"],
        "signs": _signs(book),
        "verdicts": _verdicts(book),
        "care": book.texts["care"],
        "cautions": book.texts["cautions"],
        "speeds": {name: speeds[name].says for name in sorted(speeds)},
        "interval": interval_rows(water_of(season.site), book),
        "words": words,
    }


def start_depth(level: Level, season: Season, book: Rulebook) -> float:
    """Return the depth in metres where the ladder starts: as given, or the share left of the comfortable depth.

    A calculated depth is rounded down to the step; never shallower than the lowest rung, never deeper than the cap.
    """
    lowest_m, cap_m = float(book.value("ladder.lowest_m")), _cap(season, book)
    return round(max(lowest_m, min(_wanted_start(level, season, book), cap_m)), 2)


def _wanted_start(level: Level, season: Season, book: Rulebook) -> float:
    if level.start_m is not None:
        return level.start_m
    assert level.comfortable_m is not None  # noqa: S101 - the season's check makes sure of it
    return _round_down(level.comfortable_m * _share_left(level, season, book), level.step_m)


def _days_away(level: Level, season: Season) -> int:
    assert level.comfortable_on is not None  # noqa: S101 - the season's check makes sure of it
    away = date.fromisoformat(season.first_day) - date.fromisoformat(level.comfortable_on)
    return max(0, away.days)


def _share_left(level: Level, season: Season, book: Rulebook) -> float:
    days = _days_away(level, season)
    rows = book.value("start.time_away")
    return float(next(row["share"] for row in rows if row.get("to_days") is None or days <= row["to_days"]))


def _cap(season: Season, book: Rulebook) -> float:
    above_bottom = season.site.bottom_m - book.value("ladder.above_bottom_m")
    return round(min(float(above_bottom), float(book.limit("depth_m")[1])), 2)


def _round_down(depth_m: float, step_m: float) -> float:
    return round(_whole(depth_m / step_m) * step_m, 2)


def _whole(steps: float) -> int:
    return max(0, math.floor(steps + EPSILON))


def _ladder(
    level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], card: CardMaker, climbs: int
) -> dict[str, Any]:
    start_m, cap_m = start_depth(level, season, book), _cap(season, book)
    depths = _depths(start_m, cap_m, level.step_m, climbs, float(book.value("ladder.lowest_m")))
    return {
        "start": depths.index(start_m),
        "start_why": _start_why(level, season, book, words, start_m),
        "repeats": level.repeats,
        "best_m": level.best_m,
        "cap_m": cap_m,
        "goals": [list(goal) for goal in level.goals],
        "rungs": [_rung(depth_m, depths, season, book, card(level.discipline, depth_m)) for depth_m in depths],
    }


def _depths(start_m: float, cap_m: float, step_m: float, climbs: int, lowest_m: float) -> list[float]:
    """Return the rungs from the shallowest, whose step may be a shorter one, to the deepest that the days allow."""
    shallower, deeper = _whole((start_m - lowest_m) / step_m), min(climbs, _whole((cap_m - start_m) / step_m))
    depths = [round(start_m + index * step_m, 2) for index in range(-shallower, deeper + 1)]
    return depths if depths[0] <= lowest_m else [lowest_m, *depths]


def _climbs(days: Sequence[Day], level: Level) -> int:
    """Return how many steps deeper the season has days for: more rungs would only make the sheet longer."""
    return sum(day.kind == "dive" and day.lead == level.discipline for day in days)


def _rung(depth_m: float, depths: list[float], season: Season, book: Rulebook, card: dict[str, Any]) -> dict[str, Any]:
    resume_m = depth_m * (book.value("resume.share") + EPSILON)
    drill_m = season.drill.depth_m if season.drill else 0
    return {
        "depth_m": depth_m,
        "resume": max(0, bisect_right(depths, resume_m) - 1),
        "drill_m": well_above(drill_m, depth_m, book),
        "warm_up_m": well_above(book.value("warm_up.depth_m"), depth_m, book),
        "expected_s": card["total_s"],
        "card": card,
    }


def expected_s(discipline: str, depth_m: float, book: Rulebook, speeds: Speeds | None = None) -> int:
    """Return the expected dive time in seconds: down and up at the mean speed, and the turn."""
    speed = speeds[discipline].m_s if speeds else float(book.value(f"speed.{discipline}"))
    return round(2 * depth_m / speed + float(book.value("speed.turn_s")))


def well_above(wanted_m: float, target_m: float, book: Rulebook) -> float:
    """Return the wanted depth, or the deepest half metre that is not a second deep dive beside this target."""
    edge_m = (book.value("second_dive.share") - EPSILON) * target_m
    return wanted_m if wanted_m < edge_m else (math.ceil(edge_m / HALF_M - EPSILON) - 1) * HALF_M


def _easy_drill(season: Season, book: Rulebook) -> dict[str, Any] | None:
    if season.drill is None:
        return None
    bests = {level.discipline: level.best_m for level in season.levels}
    best_m = bests.get(season.drill.discipline, min(bests.values()))  # without a ladder: the shallowest best is prudent
    most_m = _round_down(best_m * book.value("easy.share_of_best"), HALF_M)
    return {
        "discipline": season.drill.discipline,
        "dives": season.drill.dives,
        "easy_m": min(season.drill.depth_m, most_m, _cap(season, book)),
    }


def _numbers(book: Rulebook) -> dict[str, float]:
    return {
        "tolerance_m": book.value("clean.tolerance_m") + EPSILON,
        "deeper_m": book.value("clean.deeper_m") - EPSILON,
        "hard_effort": book.value("hard.effort"),
        "second_try_share": book.value("turned.second_try_share") - EPSILON,
        "second_dive_share": book.value("second_dive.share") - EPSILON,
        "resume_share": book.value("resume.share") + EPSILON,
        "second_try_percent": round(book.value("turned.second_try_share") * 100),
        "second_dive_percent": round(book.value("second_dive.share") * 100),
        "easy_percent": round(book.value("easy.share_of_best") * 100),
        "resume_percent": round(book.value("resume.share") * 100),
    }


def _signs(book: Rulebook) -> dict[str, Any]:
    return {
        code: {
            "says": sign["says"],
            "verdict": sign["verdict"],
            "days": book.value(sign["days"]) if "days" in sign else 0,
            "care": sign.get("care", []),
        }
        for code, sign in book.texts["sign"].items()
    }


def _verdicts(book: Rulebook) -> dict[str, Any]:
    def number(verdict: Mapping[str, Any], name: str) -> int:
        return int(book.value(verdict[name])) if name in verdict else 0

    return {
        name: {
            "rank": verdict["rank"],
            "says": verdict["says"],
            "over": verdict.get("over"),
            "counts": bool(verdict.get("counts")),
            "stands_down": bool(verdict.get("stands_down")),
            "run_limit": number(verdict, "run_limit"),
            "down": number(verdict, "down"),
            "no_deep_days": number(verdict, "no_deep_days"),
        }
        for name, verdict in book.texts["verdict"].items()
    }


def _words(book: Rulebook) -> dict[str, Any]:
    words = dict(book.texts["words"])
    return {**words, "months": words["months"].split(), "ordinals": words["ordinals"].split()}


def _start_why(level: Level, season: Season, book: Rulebook, words: Mapping[str, Any], start_m: float) -> str:
    if level.start_m == start_m:
        return fill(words["start_given"], {"depth": start_m})
    wanted = _wanted_start(level, season, book)
    if wanted != start_m:
        return fill(words["start_capped" if wanted > start_m else "start_lowest"], {"start": start_m})
    said = {
        "start": start_m, "percent": round(_share_left(level, season, book) * 100),
        "comfortable": level.comfortable_m, "days": _days_away(level, season),
    }  # fmt: skip
    return fill(words["start_away"], said)
