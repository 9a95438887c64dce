"""The ladder sheet: season and rulebook compiled to look-up tables, so that two thin readers can apply the log to it.

All arithmetic of the trade is done here, once; the readers only look up and count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ..records.model import Drill, Level, Season
from ..rulebook.rulebook import Rulebook
from .calendar import Day, days_of
from .cards import Speeds, card_maker, speeds_of, water_of
from .interval import interval_rows
from .ladders import EPSILON, CardMaker, drill_depth, half_metres, ladder_of
from .reader.sentences import fill

FORMAT = 1
COMING_PARTS = ("drill_m", "expected_s", "card")  # of a rung
TYPED_ON_THE_BOAT = ("year", "depth_m", "dive_s", "effort", "text", "note", "shallower", "day_range")
COMPILED_WORDS = ("start_", "ends_", "interval_", "speed_")  # sentences that are filled in here: no reader needs them
VERDICT_NUMBERS = ("run_limit", "down", "no_deep_days", "again_days", "again_days_off")
AS_IT_IS = frozenset((str, int, bool, type(None)))  # most of the thousand values of a sheet
# What a change of the season can change for the days before it: kept as it was, without what only coming days need.
PAST_PARTS = ("disciplines", "spacing", "away", "drill_sets", "warm_ups", "numbers", "signs", "verdicts", "no_diving")


def compile_sheet(season: Season, book: Rulebook, speeds: Speeds | None = None) -> dict[str, Any]:
    """Return the ladder sheet as plain JSON values; `book` already includes the season's own rules.

    `speeds` are the diver's own by discipline (see `cards.speeds_of`); without them the book's are used. The sheet is
    that of the season with all its changes; `past` has what applied before each of them, as far as it differs.
    """
    days, sets = days_of(season), _drill_sets(season)
    stages = [(season, book), *[(change.season, change.rules) for change in season.changes]]
    last, rules = stages[-1]
    sheet = _whole(last, rules, speeds or speeds_of((), rules), days, sets)
    restarts = _restarts(stages[-2][0], last) if season.changes else []
    past = _past(season, stages, sheet, days, sets)
    shown: dict[str, Any] = _short({**sheet, "first_day": season.first_day, "restarts": restarts, "past": past})
    return shown


def _short(value: Any) -> Any:
    """Return a value with 8 instead of 8.0: the same to both readers, and shorter on a weak signal."""
    if isinstance(value, dict):
        return {name: part if type(part) in AS_IT_IS else _short(part) for name, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [part if type(part) in AS_IT_IS else _short(part) for part in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _whole(
    season: Season, book: Rulebook, speeds: Speeds, days: Sequence[Day], sets: Sequence[tuple[Drill, ...]]
) -> dict[str, Any]:
    words = _words(book)
    parts = _parts(season, book, words, card_maker(season, book, speeds), days, sets)
    return {
        "format": FORMAT,
        "book": season.edition,
        "site": asdict(season.site),
        "days": [_slot(day, sets) for day in days],
        **parts,
        "drill": _first_drill(season, book),
        "limits": {name: dict(zip(("min", "max"), book.limit(name), strict=True)) for name in TYPED_ON_THE_BOAT},
        "turned_whys": {code: {"outside": False, **why} for code, why in book.texts["turned_why"].items()},
        "care": book.texts["care"],
        "cautions": book.texts["cautions"],
        "speeds": {name: speeds[name].says for name in sorted(parts["disciplines"])},
        "ready": {name: book.value(f"ready.{name}") for name in ("worse", "items", "days", "least")},
        "interval": interval_rows(water_of(season.site), book),
        "words": {key: said for key, said in words.items() if not key.startswith(COMPILED_WORDS)},
    }


def _parts(
    season: Season, book: Rulebook, words: Mapping[str, Any], card: CardMaker | None, days: Sequence[Day],
    sets: Sequence[tuple[Drill, ...]],
) -> dict[str, Any]:  # fmt: skip
    """Return the parts that a change of the season may change."""
    climbs = {
        level.discipline: sum(day.kind == "dive" and day.lead == level.discipline for day in days)
        for level in season.levels
    }
    ladders = {
        level.discipline: ladder_of(level, season, book, words, card, climbs[level.discipline])
        for level in season.levels
    }
    return {
        "disciplines": ladders,
        "spacing": [{"to_m": None, **row} for row in book.value("spacing")],
        "away": [
            {
                "to_days": row.get("to_days"),
                "share": row["share"] + EPSILON,
                "percent": round(row["share"] * 100),
                "is_full": row["share"] >= 1,
            }
            for row in book.value("start.time_away")
        ],
        "drill_sets": [[_drill(drill, season, book, ladders) for drill in drills] for drills in sets],
        "warm_ups": book.value("warm_up.dives"),
        "numbers": _numbers(book),
        "signs": _signs(book),
        "verdicts": _verdicts(book),
        "no_diving": {
            code: {"says": why["says"], "rungs": book.value(why["rungs"]) if "rungs" in why else 0}
            for code, why in book.texts["no_diving"].items()
        },
        "not_ready": {code: why["says"] for code, why in book.texts["not_ready"].items()},
    }


def _past(
    season: Season, stages: Sequence[tuple[Season, Rulebook]], sheet: Mapping[str, Any], days: Sequence[Day],
    sets: Sequence[tuple[Drill, ...]],
) -> list[dict[str, Any]]:  # fmt: skip
    """Return what applied before each change: {until, and each part that differs from the last}."""
    if not season.changes:
        return []
    past, earlier = [], season
    kept = {**sheet, "disciplines": _without_cards(sheet["disciplines"])}
    for change, (now, book) in zip(season.changes, stages, strict=False):
        parts = _parts(now, book, _words(book), None, days, sets)
        differs = {name: parts[name] for name in PAST_PARTS if parts[name] != kept[name]}
        past.append({"until": change.from_day, "restarts": _restarts(earlier, now), **differs})
        earlier = now
    return past


def _without_cards(ladders: Mapping[str, Any]) -> dict[str, Any]:
    """Return the ladders as a past stage has them: without what only coming dives need."""
    return {
        name: {
            **ladder,
            "rungs": [{key: rung[key] for key in rung if key not in COMING_PARTS} for rung in ladder["rungs"]],
        }
        for name, ladder in ladders.items()
    }


def _restarts(before: Season, now: Season) -> list[str]:
    """Return the disciplines of which a change gave the start or the comfortable depth anew: they begin there."""
    said = {level.discipline: _said(level) for level in before.levels}
    return [level.discipline for level in now.levels if said.get(level.discipline, ()) != _said(level)]


def _said(level: Level) -> tuple[Any, ...]:
    return level.start_m, level.comfortable_m, level.comfortable_on


def _slot(day: Day, sets: Sequence[tuple[Drill, ...]]) -> dict[str, Any]:
    slot = {"date": day.date, "block": day.block, "kind": day.kind, "lead": day.lead}
    more = {"drills": sets.index(day.drills)} if day.block else {}
    return {**slot, **more, **({"why": day.why} if day.why else {})}


def _drill_sets(season: Season) -> list[tuple[Drill, ...]]:
    """Return the drills of the blocks, each set once."""
    seasons = [season, *[change.season for change in season.changes]]
    return list(dict.fromkeys(block.drills for one in seasons for block in one.blocks))


def expected_s(discipline: str, depth_m: float, book: Rulebook, speeds: Speeds | None = None) -> int:
    """Return the expected dive time in seconds: down and up at the mean speed, and the turn."""
    speed = speeds[discipline].m_s if speeds else float(book.value(f"speed.{discipline}"))
    return round(2 * depth_m / speed + float(book.value("speed.turn_s")))


def _drill(drill: Drill, season: Season, book: Rulebook, ladders: Mapping[str, Any]) -> dict[str, Any]:
    """Return a drill of a block; by a share its depth follows the rung of the comfortable depth of its discipline."""
    by_rung = None
    if drill.share is not None and drill.discipline in ladders:
        by_rung = [half_metres(rung["depth_m"] * drill.share) for rung in ladders[drill.discipline]["rungs"]]
    return {
        "discipline": drill.discipline,
        "dives": drill.dives,
        "focus": drill.focus,
        "depth_m": drill.depth_m,
        "by_rung": by_rung,
        "easy_m": _easy_most(drill, season, book),
    }


def _easy_most(drill: Drill, season: Season, book: Rulebook) -> float:
    """Return how deep a drill may go on an easy day."""
    bests = {level.discipline: level.best_m for level in season.levels}
    best_m = bests.get(drill.discipline, min(bests.values()))  # without a ladder: the shallowest best is prudent
    cap_m = season.site.bottom_m - book.value("ladder.above_bottom_m")
    return float(min(half_metres(best_m * book.value("easy.share_of_best")), round(cap_m, 2)))


def _first_drill(season: Season, book: Rulebook) -> dict[str, Any] | None:
    """Return the only drill that phones with an older app know."""
    drill = next((drill for block in season.blocks for drill in block.drills), None)
    if drill is None:
        return None
    easy_m = min(drill_depth(drill, season), _easy_most(drill, season, book))
    return {"discipline": drill.discipline, "dives": drill.dives, "easy_m": easy_m}


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
        "counts_share": book.value("spacing.counts_share") - EPSILON,
        "near_share": book.value("return.near_share") - EPSILON,
        "return_repeats": book.value("return.repeats"),
        "return_rungs": book.value("return.step_factor"),
        "run_in_days": book.value("run_in.after_days"),
        "run_in_rungs": book.value("run_in.rungs"),
        "taxing_effort": book.value("taxing.effort"),
        "taxing_days": book.value("taxing.min_days"),
        "rising_dives": book.value("taxing.rising_dives"),
        "not_clean": book.value("ladder.not_clean"),
        "of_last": book.value("ladder.of_last"),
        "more_after_down": book.value("ladder.more_after_down"),
        "limit_rungs": book.value("lmc.down_rungs"),
        "limit_dives": book.value("lmc.clean_dives"),
        "limit_days": book.value("lmc.again_days"),
        "watch_s": book.value("clock.watch_s"),
    }


def _signs(book: Rulebook) -> dict[str, Any]:
    return {code: _sign(sign, book) for code, sign in book.texts["sign"].items()}


def _sign(sign: Mapping[str, Any], book: Rulebook) -> dict[str, Any]:
    """Return a sign; `over`, `most_m` and `today` say what it does to the rest of its day, beside its verdict."""
    found = {
        "says": sign["says"],
        "verdict": sign["verdict"],
        "days": book.value(sign["days"]) if "days" in sign else 0,
        "care": sign.get("care", []),
    }
    if "over" in sign:
        found["over"] = sign["over"]
    if "most_m" in sign:
        most_m = book.value(sign["most_m"])
        found |= {"most_m": most_m, "today": fill(sign["today"], {"most": most_m})}
    return {**found, **({"replaced": True} if sign.get("replaced") else {})}


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
            "limits": bool(verdict.get("limits")),
            **{key: number(verdict, key) for key in VERDICT_NUMBERS},
        }
        for name, verdict in book.texts["verdict"].items()
    }


def _words(book: Rulebook) -> dict[str, Any]:
    words = dict(book.texts["words"])
    words["what_lmc_again"] = fill(words["what_lmc_again"], {"days": book.value("lmc.again_days")})
    return {**words, "months": words["months"].split(), "ordinals": words["ordinals"].split()}
