"""A whole season from a few values: what a new season is proposed as, and what the log says about where a diver stands.

Every number is of the rulebook's group `setup`, or of its ladder. A proposal is a season as typed, open to change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from ..rulebook.checks import is_day, is_number
from ..rulebook.rulebook import Rulebook

Json = Mapping[str, Any]
MOST_LEVELS = 2


@dataclass(frozen=True)
class Known:
    """What a log says of one discipline: a comfortable depth with its last day, and the deepest clean dive."""

    discipline: str
    comfortable_m: float | None
    comfortable_on: str | None
    best_m: float


def proposed(wish: Json, bests: Mapping[str, float], book: Rulebook) -> dict[str, Any]:
    """Return a season as typed.

    `wish` has first_day, last_day, site and levels of {discipline, comfortable_m, comfortable_on, goal_m}; `bests` the
    deepest clean dives of the log. What is wrong in a wish stays as it is, for the season's check to name.
    """
    levels = [_level(level, bests, book) for level in wish["levels"]]
    names = [level["discipline"] for level in levels if level["discipline"]]
    return {
        "first_day": wish["first_day"],
        "last_day": wish["last_day"],
        "site": dict(wish["site"]),
        "closed_days": [],
        "disciplines": levels,
        "blocks": [_block(span, index, names, book) for index, span in enumerate(_spans(wish, book))] if names else [],
        "rules": {},
        "book": book.edition,
    }


def name_of(wish: Json) -> str:
    """Return a name for a season: its site and the month in which it begins."""
    month = f"{date.fromisoformat(wish['first_day']):%B %Y}" if is_day(wish["first_day"]) else ""
    return ", ".join(part for part in (wish["site"].get("name"), month) if part) or "Season"


def known_from(log: Iterable[Json], today: str, book: Rulebook) -> list[Known]:
    """Return what a log says of each discipline, the one most dived in the last weeks first."""
    clean: dict[str, list[Json]] = {}
    for record in log:
        if record["kind"] == "dive" and record["date"] <= today and is_clean(record, book):
            clean.setdefault(record["discipline"], []).append(record)
    since = (date.fromisoformat(today) - timedelta(days=book.value("setup.recent_days"))).isoformat()
    recent = {name: [dive for dive in dives if dive["date"] >= since] for name, dives in clean.items()}
    order = sorted(clean, key=lambda name: (-sum(dive["role"] == "deep" for dive in recent[name]), name))
    return [_known(name, clean[name], recent[name], book) for name in order]


def is_clean(dive: Json, book: Rulebook) -> bool:
    """Tell whether a dive reached its target without a sign and without hard effort."""
    if dive["signs"] or (dive["effort"] is not None and dive["effort"] >= book.value("hard.effort")):
        return False
    return dive["target_m"] is None or bool(
        dive["reached_m"] >= dive["target_m"] - book.value("clean.tolerance_m") - 1e-9
    )


def _known(name: str, dives: Sequence[Json], recent: Sequence[Json], book: Rulebook) -> Known:
    deepest = sorted(recent, key=lambda dive: (dive["reached_m"], dive["date"]), reverse=True)
    enough = deepest[: int(book.value("ladder.repeats"))]
    best_m = max(float(dive["reached_m"]) for dive in dives)
    if len(enough) < book.value("ladder.repeats"):
        return Known(name, None, None, best_m)
    return Known(name, float(enough[-1]["reached_m"]), max(dive["date"] for dive in enough), best_m)


def _level(level: Json, bests: Mapping[str, float], book: Rulebook) -> dict[str, Any]:
    comfortable_m, best_m = level["comfortable_m"], bests.get(level["discipline"], 0)
    goal_m = level["goal_m"]
    return {
        "discipline": level["discipline"],
        "best_m": max(comfortable_m, best_m) if is_number(comfortable_m) else best_m or comfortable_m,
        "comfortable_m": comfortable_m,
        "comfortable_on": level["comfortable_on"],
        **{name: book.value(f"ladder.{name}") for name in ("step_m", "repeats_below_best", "repeats")},
        "goals": {} if goal_m is None else {"aim_m": goal_m},
    }


def _block(span: tuple[str, str], index: int, names: Sequence[str], book: Rulebook) -> dict[str, Any]:
    main = names[index % len(names)]
    other = next((name for name in names if name != main), main)
    drill = {
        "discipline": other, "share": book.value("setup.drill_share"), "dives": book.value("setup.drill_dives"),
        "focus": "",
    }  # fmt: skip
    rhythm = {name: book.value(f"setup.{name}") for name in ("days_on", "days_off")}
    return {"first_day": span[0], "last_day": span[1], "main": main, **rhythm, "drills": [drill]}


def _spans(wish: Json, book: Rulebook) -> Iterator[tuple[str, str]]:
    """Yield the first and last day of each block: one in a short season, else blocks of about the same length."""
    if not (is_day(wish["first_day"]) and is_day(wish["last_day"])):
        return
    first, last = date.fromisoformat(wish["first_day"]), date.fromisoformat(wish["last_day"])
    days = (last - first).days + 1
    if not 0 < days <= book.limit("season_days")[1]:
        return
    count, pause = _count_and_pause(days, book)
    length, more = divmod(days - pause * (count - 1), count)
    for index in range(count):
        end = first + timedelta(days=length - 1 + (index < more))
        yield first.isoformat(), end.isoformat()
        first = end + timedelta(days=1 + pause)


def _count_and_pause(days: int, book: Rulebook) -> tuple[int, int]:
    """Return the number of blocks and the days between two of them."""
    if days <= book.value("setup.one_block_days"):
        return 1, 0
    block, least, most = (book.value(f"setup.{name}_days") for name in ("block", "least_break", "most_break"))
    count = max(2, round((days + least) / (block + least)))
    return count, int(min(most, max(least, (days - count * block) // (count - 1))))
