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


@st.composite
def levels(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """One discipline of a season."""
    best_m = draw(depths(8, 125))
    goals = sorted(draw(st.lists(depths(5, 140), min_size=3, max_size=3)))
    return {
        "discipline": name,
        "best_m": best_m,
        "comfortable_m": draw(st.just(max(0.5, best_m - draw(depths(0, 7))))),
        "comfortable_on": day(-draw(st.integers(0, 500))),
        "start_m": draw(st.none() | depths(5, 120) | tenths(5, 20)),
        "step_m": draw(st.sampled_from([0.5, 0.7, 1, 1.25, 1.5, 2, 2.3, 2.5, 3, 5, 10])),
        "repeats": draw(st.integers(1, 4)),
        "goals": draw(st.sampled_from([{}, dict(zip(("floor_m", "aim_m", "dream_m"), goals, strict=True))])),
    }


@st.composite
def seasons(draw: st.DrawFn) -> dict[str, Any]:
    """A whole season as typed, always acceptable."""
    names = draw(st.lists(st.sampled_from(DISCIPLINES), min_size=1, max_size=3, unique=True))
    length = draw(st.integers(1, 60))
    drill = {"discipline": draw(st.sampled_from(DISCIPLINES)), "depth_m": draw(depths(5, 60)), "dives": 2}
    return {
        "first_day": day(0),
        "last_day": day(length - 1),
        "days_on": draw(st.integers(1, 5)),
        "days_off": draw(st.integers(0, 3)),
        "block_days": draw(st.integers(1, 40)),
        "break_days": draw(st.integers(0, 7)),
        "closed_days": [day(at) for at in draw(st.lists(st.integers(0, 60), max_size=6))],
        "site": {"name": "Invented Bay", "bottom_m": draw(tenths(9, 140)), "water": "salt", "latitude": 40},
        "disciplines": [draw(levels(name)) for name in names],
        "lead": draw(st.lists(st.sampled_from(names), min_size=1, max_size=3)),
        "drill": draw(st.sampled_from([None, drill])),
        "rules": draw(SPACINGS),
    }


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


@st.composite
def stories(draw: st.DrawFn) -> tuple[dict[str, Any], list[dict[str, Any]], str]:
    """A ladder sheet, a log that mostly follows its plan, and the day on which it is read."""
    sheet = sheet_of(draw(seasons()))
    log: list[dict[str, Any]] = []
    count = draw(st.integers(0, min(len(sheet["days"]), 16)))
    for at in range(count):
        on = sheet["days"][at]["date"]
        planned = next(one for one in read(sheet, log, on)["days"] if one["date"] == on)["dives"]
        for wanted in planned or [{"discipline": "CWT", "role": "deep", "target_m": 30.0}]:
            deed = draw(st.sampled_from(DEEDS if planned else (*["skip"] * 9, *DEEDS)))
            if deed == "clear":
                log.append({"id": f"c{len(log)}", "kind": "clearance", "clearance": on, "by": "Dr. Invented"})
            elif deed != "skip":
                record = _done(deed, wanted, on, draw(st.lists(st.sampled_from(SIGNS), max_size=2, unique=True)))
                clock = draw(st.none() | st.integers(7, 16).map(lambda hour: f"{hour:02}:30"))
                log.append({**record, "id": f"d{len(log)}", "at": clock})
                if deed == "turned_high" and draw(st.booleans()):
                    log.append({**record, "id": f"d{len(log)}", "at": "17:00", "reached_m": record["target_m"]})
    for at in range(draw(st.integers(0, 2))):
        signs = draw(st.sampled_from([[], ["lmc"], ["blood"], ["blackout"]]))
        log.append(dive(id=f"old{at}", date=day(-draw(st.integers(1, 20))), signs=signs))
    if draw(st.booleans()):
        cleared = day(draw(st.integers(-20, 5)))
        log.append({"id": "oldc", "kind": "clearance", "clearance": cleared, "by": "Dr. Invented"})
    today = day(max(-3, count + draw(st.integers(-4, 8))))
    return sheet, draw(st.permutations(log)), today
