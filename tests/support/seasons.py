"""Invented seasons and logs, for property tests: any season that the check accepts, and logs that follow the plan."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from webapp.planner.reader.ladder import read
from webapp.planner.sheet import compile_sheet
from webapp.records.model import DISCIPLINES
from webapp.records.season import book_of, check_season
from webapp.rulebook_file import read_rulebook

FIRST = date(2031, 3, 28)
SIGNS = tuple(read_rulebook().texts["sign"])
DEEDS = (
    "clean", "clean", "clean", "clean", "clean", "hard", "hard", "turned", "turned_high", "short", "deeper",
    "lmc", "blackout", "hurt", "skip", "off_plan", "no_target", "signs", "drill", "clear",
)  # fmt: skip


def day(offset: int) -> str:
    """Return the ISO date so many days after the first day of every invented season."""
    return (FIRST + timedelta(days=offset)).isoformat()


def depths(low: int, high: int) -> st.SearchStrategy[float]:
    """Depths in half metres between two whole ones."""
    return st.integers(2 * low, 2 * high).map(lambda halves: halves / 2)


def tenths(low: int, high: int) -> st.SearchStrategy[float]:
    """Depths in tenths of a metre between two whole ones."""
    return st.integers(10 * low, 10 * high).map(lambda tenths: tenths / 10)


SPACINGS = st.sampled_from(
    [
        {},
        {"spacing": [{"to_m": None, "min_days": 1, "max_in_a_row": 99}]},
        {"spacing": [{"to_m": 30, "min_days": 1, "max_in_a_row": 2}, {"min_days": 4, "max_in_a_row": 1}]},
        {"warm_up.dives": 2, "hard.in_a_row": 1, "lmc.no_deep_days": 6},
        {"turned.in_a_row": 1, "resume.share": 0.45, "second_dive.share": 0.7, "ladder.lowest_m": 8},
    ]
)


# Strategies are made once: Hypothesis takes longer to make and check one than to draw from it.
NAME = st.sampled_from(DISCIPLINES)
NAMES = st.lists(NAME, min_size=1, max_size=3, unique=True)
LEADS = st.lists(st.integers(0, 2), min_size=1, max_size=3)
BEST, BELOW_BEST, SINCE = depths(8, 125), depths(0, 7), st.integers(0, 500)
START = st.none() | depths(5, 120) | tenths(5, 20)
STEP = st.sampled_from([0.5, 0.7, 1, 1.25, 1.5, 2, 2.3, 2.5, 3, 5, 10])
GOALS = st.just([]) | st.lists(depths(5, 140), min_size=3, max_size=3)
CLOSED = st.lists(st.integers(0, 60), max_size=6)
BOTTOM, DRILLED = tenths(9, 140), st.none() | depths(5, 60)
TO_4, TO_60, DAYS_ON, DAYS_OFF = st.integers(1, 4), st.integers(1, 60), st.integers(1, 5), st.integers(0, 3)
BLOCK, BREAK = st.integers(1, 40), st.integers(0, 7)


@st.composite
def levels(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """One discipline of a season."""
    best_m = draw(BEST)
    return {
        "discipline": name,
        "best_m": best_m,
        "comfortable_m": max(0.5, best_m - draw(BELOW_BEST)),
        "comfortable_on": day(-draw(SINCE)),
        "start_m": draw(START),
        "step_m": draw(STEP),
        "repeats": draw(TO_4),
        "goals": dict(zip(("floor_m", "aim_m", "dream_m"), sorted(draw(GOALS)), strict=False)),
    }


LEVELS = {name: levels(name) for name in DISCIPLINES}


@st.composite
def seasons(draw: st.DrawFn) -> dict[str, Any]:
    """A whole season as typed, always acceptable."""
    names = draw(NAMES)
    length = draw(TO_60)
    drill_m = draw(DRILLED)
    return {
        "first_day": day(0),
        "last_day": day(length - 1),
        "days_on": draw(DAYS_ON),
        "days_off": draw(DAYS_OFF),
        "block_days": draw(BLOCK),
        "break_days": draw(BREAK),
        "closed_days": [day(at) for at in draw(CLOSED)],
        "site": {"name": "Invented Bay", "bottom_m": draw(BOTTOM), "water": "salt", "latitude": 40},
        "disciplines": [draw(LEVELS[name]) for name in names],
        "lead": [names[at % len(names)] for at in draw(LEADS)],
        "drill": drill_m and {"discipline": draw(NAME), "depth_m": drill_m, "dives": 2},
        "rules": draw(SPACINGS),
    }


SEASONS = seasons()


def sheet_of(raw: dict[str, Any]) -> dict[str, Any]:
    """Compile a season as typed."""
    book = read_rulebook()
    return compile_sheet(check_season(raw, book), book_of(raw, book))


def dive(**fields: Any) -> dict[str, Any]:
    """A checked dive record with plain defaults."""
    plain = {
        "id": "d", "kind": "dive", "date": day(0), "at": None, "surfaced_at": None, "discipline": "FIM", "role": "deep",
        "target_m": None, "reached_m": 20, "dive_s": 60, "effort": None, "signs": [], "note": "",
    }  # fmt: skip
    return {**plain, **fields}


def _done(deed: str, wanted: dict[str, Any], on: str, signs: list[str]) -> dict[str, Any]:
    """Return the dive that this deed makes of a planned one."""
    target_m = wanted["target_m"]
    base = {"date": on, "discipline": wanted["discipline"], "role": wanted["role"], "target_m": target_m}
    reached = {
        "turned": round(target_m * 0.8 - 0.6, 1), "turned_high": round(target_m * 0.3, 1),
        "short": round(target_m - 0.5, 2), "deeper": round(target_m + 2.25, 2),
    }  # fmt: skip
    found = {"lmc": ["lmc"], "blackout": ["blackout"], "hurt": ["cough"], "signs": signs}
    changes = {
        "hard": {"effort": 9}, "no_target": {"target_m": None}, "drill": {"role": "drill"},
        "off_plan": {"discipline": "VWT", "reached_m": target_m + 10},
    }  # fmt: skip
    fields = {"reached_m": max(0.5, reached.get(deed, target_m)), "signs": found.get(deed, [])}
    return dive(**{**base, **fields, **changes.get(deed, {})})


# Also made once.
ON_A_PLAN, OFF_PLAN = st.sampled_from(DEEDS), st.sampled_from((*["skip"] * 9, *DEEDS))
TWO_SIGNS = st.lists(st.sampled_from(SIGNS), max_size=2, unique=True)
CLOCKS = st.none() | st.integers(7, 16).map(lambda hour: f"{hour:02}:30")
EARLIER = st.lists(st.tuples(st.integers(1, 20), st.sampled_from([[], ["lmc"], ["blood"], ["blackout"]])), max_size=2)
CLEARED = st.none() | st.integers(-20, 5)


@st.composite
def _dived(draw: st.DrawFn, sheet: dict[str, Any], count: int) -> list[dict[str, Any]]:
    """What was logged on the first days of a season, mostly by its plan."""
    log: list[dict[str, Any]] = []
    for on in [each["date"] for each in sheet["days"][:count]]:
        planned = next(one for one in read(sheet, log, on)["days"] if one["date"] == on)["dives"]
        for wanted in planned or [{"discipline": "CWT", "role": "deep", "target_m": 30.0}]:
            deed = draw(ON_A_PLAN if planned else OFF_PLAN)
            if deed == "clear":
                log.append({"id": f"c{len(log)}", "kind": "clearance", "clearance": on, "by": "Dr. Invented"})
            elif deed != "skip":
                record = _done(deed, wanted, on, draw(TWO_SIGNS) if deed == "signs" else [])
                log.append({**record, "id": f"d{len(log)}", "at": draw(CLOCKS)})
                if deed == "turned_high" and draw(st.booleans()):
                    log.append({**record, "id": f"d{len(log)}", "at": "17:00", "reached_m": record["target_m"]})
    return log


@st.composite
def stories(draw: st.DrawFn) -> tuple[dict[str, Any], list[dict[str, Any]], str]:
    """A ladder sheet, a log that mostly follows its plan, and the day on which it is read."""
    sheet = sheet_of(draw(SEASONS))
    count = draw(st.integers(0, min(len(sheet["days"]), 16)))
    log = draw(_dived(sheet, count))
    for at, (ago, signs) in enumerate(draw(EARLIER)):
        log.append(dive(id=f"old{at}", date=day(-ago), signs=signs))
    cleared = draw(CLEARED)
    if cleared is not None:
        log.append({"id": "oldc", "kind": "clearance", "clearance": day(cleared), "by": "Dr. Invented"})
    today = day(max(-3, count + draw(st.integers(-4, 8))))
    return sheet, draw(st.permutations(log)), today
