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
    "lmc", "blackout", "hurt", "skip", "off_plan", "no_target", "signs", "drill", "clear", "outside", "taxing",
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
START = st.none() | depths(-60, 5) | tenths(-8, 5)  # from the best
STEP = st.sampled_from([0.5, 0.7, 1, 1.25, 1.5, 2, 2.3, 2.5, 3, 5, 10])
GOALS = st.just([]) | st.lists(depths(5, 140), min_size=3, max_size=3)
CLOSED = st.lists(st.integers(0, 60), max_size=6)
BOTTOM, DRILLED = tenths(9, 140), st.none() | depths(5, 60)
BELOW = st.none() | st.integers(1, 2)
TO_4, TO_60, DAYS_ON, DAYS_OFF = st.integers(1, 4), st.integers(1, 60), st.integers(1, 5), st.integers(0, 3)
BLOCK, BREAK = st.integers(1, 40), st.integers(0, 7)


@st.composite
def levels(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """One discipline of a season."""
    best_m, start_m = draw(BEST), draw(START)
    return {
        "discipline": name,
        "best_m": best_m,
        "comfortable_m": max(0.5, best_m - draw(BELOW_BEST)),
        "comfortable_on": day(-draw(SINCE)),
        "start_m": start_m if start_m is None else max(0.5, round(best_m + start_m, 1)),
        "step_m": draw(STEP),
        "repeats": draw(TO_4),
        "repeats_below_best": draw(BELOW),
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


@st.composite
def changed_seasons(draw: st.DrawFn) -> dict[str, Any]:
    """A season with blocks of its own or even ones, changed up to twice on the way."""
    raw = draw(seasons())
    if draw(st.booleans()):
        _own_blocks(draw, raw)
    length = (date.fromisoformat(raw["last_day"]) - FIRST).days + 1
    at = draw(CHANGED_ON)
    now, changes = raw, []
    for n in [n for n in at if n < length]:  # each change is one of the season as the change before left it
        changes.append({"from": day(n), "set": draw(CHANGES)(now), "why": "invented"})
        now = {**now, **changes[-1]["set"]}
    return {**raw, "changes": changes}


def _own_blocks(draw: st.DrawFn, raw: dict[str, Any]) -> None:
    """Replace the even blocks by one or two of its own."""
    length = (date.fromisoformat(raw["last_day"]) - FIRST).days + 1
    first, gap = draw(st.integers(1, length)), draw(BREAK)
    spans = [(0, first - 1)] + ([(first + gap, length - 1)] if first + gap < length else [])
    names = [level["discipline"] for level in raw["disciplines"]]
    raw["blocks"] = [
        {
            "first_day": day(one), "last_day": day(other), "main": names[at % len(names)],
            "days_on": draw(DAYS_ON), "days_off": draw(DAYS_OFF),
            "drills": [{"discipline": names[-1], "share": 0.5, "dives": 1, "focus": "glide"}] * draw(st.integers(0, 2)),
        }
        for at, (one, other) in enumerate(spans)
    ]  # fmt: skip
    for name in ("days_on", "days_off", "block_days", "break_days", "lead", "drill"):
        del raw[name]


def _other_levels(**fields: Any) -> Any:
    return lambda raw: {"disciplines": [{**level, **fields} for level in raw["disciplines"]]}


def _other_rhythm(raw: dict[str, Any]) -> dict[str, Any]:
    if "blocks" in raw:
        return {"blocks": [{**block, "days_on": 3, "days_off": 1} for block in raw["blocks"]]}
    return {"days_on": 3, "days_off": 1}


CHANGED_ON = st.lists(st.integers(1, 20), max_size=2, unique=True).map(sorted)
CHANGES = st.sampled_from(
    [
        _other_rhythm,
        _other_levels(step_m=1.5),
        _other_levels(repeats=1),
        _other_levels(goals={"dream_m": 150}),
        _other_levels(start_m=6),
        lambda raw: {"disciplines": raw["disciplines"][:1], **_mains(raw)},
        lambda raw: {"site": {**raw["site"], "bottom_m": 30}},
        lambda raw: {"rules": {"return.step_factor": 1, "ladder.of_last": 4, "lmc.down_rungs": 3}},
        lambda raw: {"closed_days": [day(at) for at in range(8, 18)]},
    ]
)


def _mains(raw: dict[str, Any]) -> dict[str, Any]:
    name = raw["disciplines"][0]["discipline"]
    if "blocks" not in raw:
        return {"lead": [name]}
    drills = [{"discipline": name, "depth_m": 12, "dives": 2}]
    return {"blocks": [{**block, "main": name, "drills": drills} for block in raw["blocks"]]}


SEASONS = st.one_of(seasons(), changed_seasons())


class Sheet(dict[str, Any]):
    """A compiled sheet that is shown by its season: a whole one is too long to read."""

    raw: dict[str, Any]

    def __repr__(self) -> str:
        return f"sheet_of({self.raw!r})"


def sheet_of(raw: dict[str, Any]) -> Sheet:
    """Compile a season as typed."""
    book = read_rulebook()
    sheet = Sheet(compile_sheet(check_season(raw, book), book_of(raw, book)))
    sheet.raw = raw
    return sheet


def without_cards(sheet: Sheet) -> Sheet:
    """Take off what the readers do not read: it is most of a sheet."""
    for ladder in sheet["disciplines"].values():
        for rung in ladder["rungs"]:
            del rung["card"]
    return sheet


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
        "outside": round(target_m * 0.8 - 0.6, 1),
        "short": round(target_m - 0.5, 2), "deeper": round(target_m + 2.25, 2),
    }  # fmt: skip
    found = {"lmc": ["lmc"], "blackout": ["blackout"], "hurt": ["cough"], "signs": signs}
    changes = {
        "hard": {"signs": ["ears_slow"]}, "taxing": {"effort": 7}, "outside": {"turned_why": "current"},
        "no_target": {"target_m": None}, "drill": {"role": "drill"},
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
WORDS = st.lists(
    st.fixed_dictionaries(
        {
            "date": st.integers(0, 20).map(day), "more": st.none() | st.integers(0, 30),
            "no_diving": st.sampled_from([None, None, "sick", "ears", "weather"]), "hold": st.booleans(),
            "shallower": st.none() | st.integers(1, 3), "main": st.none() | NAME, "taxing": st.booleans(),
            "not_ready": st.sampled_from([[], [], ["congestion"], ["alcohol", "fever"]]),
            "easy": st.sampled_from([False, False, True]),
        }
    ),
    max_size=2, unique_by=lambda word: word["date"],
)  # fmt: skip


def word(date: str, **fields: Any) -> dict[str, Any]:
    """A checked word for a day with plain defaults."""
    plain = {"no_diving": None, "hold": False, "shallower": None, "main": None, "taxing": False, "note": ""}
    return {"id": f"word{date}", "kind": "day", "date": date, "to": None, **plain, **fields}


def proposal(date: str, what: str, **fields: Any) -> dict[str, Any]:
    """A checked proposal of a coach with plain defaults."""
    plain = {
        "id": f"proposal{date}", "to": None, "discipline": None, "depth_m": None, "says": "rest the ears",
        "setting": None, "value": None, "dive": None, "by": "Mira Sand", "answer": None, "answered_at": None,
    }  # fmt: skip
    return {**plain, "kind": "proposal", "date": date, "what": what, **fields}


DAYS_OF_A_PROPOSAL = st.tuples(st.integers(-2, 20), st.integers(0, 25))
KINDS_OF_A_PROPOSAL = st.sampled_from(["easy", "cap", "cap", "focus", "setting", "comment"])
ANSWERS = st.sampled_from([None, None, "accepted", "declined"])


@st.composite
def proposals(draw: st.DrawFn) -> dict[str, Any]:
    """What a coach proposed for some days."""
    at, more = draw(DAYS_OF_A_PROPOSAL)
    what = draw(KINDS_OF_A_PROPOSAL)
    of_a_cap = {"depth_m": draw(CAPS), "discipline": draw(st.none() | NAME)} if what == "cap" else {}
    made = {"answer": draw(ANSWERS), "says": draw(st.sampled_from(["", "rest the ears"])), **of_a_cap}
    return proposal(day(at), what, to=day(at + more) if more else None, **made)


CAPS = tenths(1, 80)
PROPOSED = st.lists(proposals(), max_size=3, unique_by=lambda one: one["id"])


@st.composite
def _dived(draw: st.DrawFn, sheet: dict[str, Any], count: int) -> list[dict[str, Any]]:
    """What was logged on the first days of a season, mostly by its plan."""
    log: list[dict[str, Any]] = []
    for at, slot in enumerate(sheet["days"][:count]):
        on, so_far = slot["date"], {**sheet, "days": sheet["days"][: at + 1]}  # no later day changes an earlier one
        planned = read(so_far, log, on)["days"][at]["dives"]
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
    """A ladder sheet without its cards, a log that mostly follows its plan, and the day on which it is read."""
    sheet = without_cards(sheet_of(draw(SEASONS)))
    count = draw(st.integers(0, min(len(sheet["days"]), 16)))
    log = draw(_dived(sheet, count))
    for at, (ago, signs) in enumerate(draw(EARLIER)):
        log.append(dive(id=f"old{at}", date=day(-ago), signs=signs))
    for said in draw(WORDS):
        more = said.pop("more")
        log.append(word(**said, to=more and (date.fromisoformat(said["date"]) + timedelta(days=more)).isoformat()))
    log += draw(PROPOSED)
    cleared = draw(CLEARED)
    if cleared is not None:
        log.append({"id": "oldc", "kind": "clearance", "clearance": day(cleared), "by": "Dr. Invented"})
    today = day(max(-3, count + draw(st.integers(-4, 8))))
    return sheet, draw(st.permutations(log)), today
