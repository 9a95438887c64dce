"""Invented seasons and logs, for property tests: any season that the check accepts, and logs that follow the plan.

They are drawn by a plain generator with a seed: Hypothesis, which draws the seeds, would take longer than the readers.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random
from typing import Any

from hypothesis import strategies as st

from webapp.planner.reader.boat_day import NOTHING
from webapp.planner.reader.ladder import Fold
from webapp.planner.reader.sentences import number
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


SEEDS = st.integers(0, 1_000_000)
SPACINGS: tuple[dict[str, Any], ...] = (
    {},
    {"spacing": [{"to_m": None, "min_days": 1, "max_in_a_row": 99}]},
    {"spacing": [{"to_m": 30, "min_days": 1, "max_in_a_row": 2}, {"min_days": 4, "max_in_a_row": 1}]},
    {"warm_up.dives": 2, "hard.in_a_row": 1, "lmc.no_deep_days": 6},
    {"turned.in_a_row": 1, "resume.share": 0.45, "second_dive.share": 0.7, "ladder.lowest_m": 8},
)
STEPS = (0.5, 0.7, 1, 1.25, 1.5, 2, 2.3, 2.5, 3, 5, 10)


def depth(chance: Random, low: int, high: int, of: int = 2) -> float:
    """A depth between two whole ones, in so many parts of a metre."""
    return chance.randint(of * low, of * high) / of


def some(chance: Random, most: int, low: int, high: int) -> list[int]:
    """Up to so many numbers between two."""
    return [chance.randint(low, high) for _ in range(chance.randint(0, most))]


def level(chance: Random, name: str) -> dict[str, Any]:
    """One discipline of a season."""
    best_m = depth(chance, 8, 125)
    start_m = chance.choice((None, depth(chance, -60, 5), depth(chance, -8, 5, of=10)))  # from the best
    goals = sorted(depth(chance, 5, 140) for _ in range(chance.choice((0, 3))))
    return {
        "discipline": name,
        "best_m": best_m,
        "comfortable_m": max(0.5, best_m - depth(chance, 0, 7)),
        "comfortable_on": day(-chance.randint(0, 500)),
        "start_m": start_m if start_m is None else max(0.5, round(best_m + start_m, 1)),
        "step_m": chance.choice(STEPS),
        "repeats": chance.randint(1, 4),
        "repeats_below_best": chance.choice((None, 1, 2)),
        "goals": dict(zip(("floor_m", "aim_m", "dream_m"), goals, strict=False)),
    }


def even_season(chance: Random) -> dict[str, Any]:
    """A whole season as typed, always acceptable."""
    names = chance.sample(DISCIPLINES, chance.randint(1, 3))
    drill_m = chance.choice((None, depth(chance, 5, 60)))
    return {
        "first_day": day(0),
        "last_day": day(chance.randint(1, 60) - 1),
        "days_on": chance.randint(1, 5),
        "days_off": chance.randint(0, 3),
        "block_days": chance.randint(1, 40),
        "break_days": chance.randint(0, 7),
        "closed_days": [day(at) for at in some(chance, 6, 0, 60)],
        "site": {"name": "Invented Bay", "bottom_m": depth(chance, 9, 140, of=10), "water": "salt", "latitude": 40},
        "disciplines": [level(chance, name) for name in names],
        "lead": [chance.choice(names) for _ in range(chance.randint(1, 3))],
        "drill": drill_m and {"discipline": chance.choice(DISCIPLINES), "depth_m": drill_m, "dives": 2},
        "rules": chance.choice(SPACINGS),
    }


def changed_season(chance: Random) -> dict[str, Any]:
    """A season with blocks of its own or even ones, changed up to twice on the way."""
    raw = even_season(chance)
    if chance.random() < 0.5:
        _own_blocks(chance, raw)
    length = (date.fromisoformat(raw["last_day"]) - FIRST).days + 1
    now, changes = raw, []
    at = sorted(set(some(chance, 2, 1, 20)))
    for n in [n for n in at if n < length]:  # each change is one of the season as the change before left it
        changes.append({"from": day(n), "set": chance.choice(KINDS_OF_CHANGE)(now), "why": "invented"})
        now = {**now, **changes[-1]["set"]}
    return {**raw, "changes": changes}


def _own_blocks(chance: Random, raw: dict[str, Any]) -> None:
    """Replace the even blocks by one or two of its own."""
    length = (date.fromisoformat(raw["last_day"]) - FIRST).days + 1
    first, gap = chance.randint(1, length), chance.randint(0, 7)
    spans = [(0, first - 1)] + ([(first + gap, length - 1)] if first + gap < length else [])
    names = [level["discipline"] for level in raw["disciplines"]]
    drill = {"discipline": names[-1], "share": 0.5, "dives": 1, "focus": "glide"}
    raw["blocks"] = [
        {
            "first_day": day(one), "last_day": day(other), "main": names[at % len(names)],
            "days_on": chance.randint(1, 5), "days_off": chance.randint(0, 3), "drills": [drill] * chance.randint(0, 2),
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


KINDS_OF_CHANGE: tuple[Any, ...] = (
    _other_rhythm,
    _other_levels(step_m=1.5),
    _other_levels(repeats=1),
    _other_levels(goals={"dream_m": 150}),
    _other_levels(start_m=6),
    lambda raw: {"disciplines": raw["disciplines"][:1], **_mains(raw)},
    lambda raw: {"site": {**raw["site"], "bottom_m": 30}},
    lambda raw: {"rules": {"return.step_factor": 1, "ladder.of_last": 4, "lmc.down_rungs": 3}},
    lambda raw: {"closed_days": [day(at) for at in range(8, 18)]},
)
CHANGES = st.sampled_from(KINDS_OF_CHANGE)


def _mains(raw: dict[str, Any]) -> dict[str, Any]:
    name = raw["disciplines"][0]["discipline"]
    if "blocks" not in raw:
        return {"lead": [name]}
    drills = [{"discipline": name, "depth_m": 12, "dives": 2}]
    return {"blocks": [{**block, "main": name, "drills": drills} for block in raw["blocks"]]}


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


OFF_PLAN = (*["skip"] * 9, *DEEDS)
SIGNS_BEFORE: tuple[list[str], ...] = ([], ["lmc"], ["blood"], ["blackout"])
NOT_READY: tuple[list[str], ...] = ([], [], ["congestion"], ["alcohol", "fever"])


def said(chance: Random) -> dict[str, Any]:
    """What the diver says of some days."""
    at, more = chance.randint(0, 20), chance.choice((None, chance.randint(0, 30)))
    return word(
        day(at), to=day(at + more) if more else None, hold=chance.random() < 0.5, taxing=chance.random() < 0.5,
        no_diving=chance.choice((None, None, "sick", "ears", "weather")),
        shallower=chance.choice((None, chance.randint(1, 3))), main=chance.choice((None, chance.choice(DISCIPLINES))),
        not_ready=chance.choice(NOT_READY), easy=chance.random() < 1 / 3,
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


def proposed(chance: Random) -> list[dict[str, Any]]:
    """What a coach proposed for some days, up to three times."""
    made = [_proposed(chance) for _ in range(chance.randint(0, 3))]
    return list({one["id"]: one for one in made}.values())


def _proposed(chance: Random) -> dict[str, Any]:
    at, more = chance.randint(-2, 20), chance.randint(0, 25)
    what = chance.choice(("easy", "cap", "cap", "focus", "setting", "comment"))
    cap = {"depth_m": depth(chance, 1, 80, of=10), "discipline": chance.choice((None, chance.choice(DISCIPLINES)))}
    answer, says = chance.choice((None, None, "accepted", "declined")), chance.choice(("", "rest the ears"))
    to = day(at + more) if more else None
    return proposal(day(at), what, to=to, answer=answer, says=says, **(cap if what == "cap" else {}))


def _dived(chance: Random, sheet: dict[str, Any], count: int) -> list[dict[str, Any]]:
    """What was logged on the first days of a season, mostly by its plan."""
    log: list[dict[str, Any]] = []
    slots, fold = sheet["days"][:count], Fold(sheet, [], day(400))
    deeds = chance.choice((DEEDS, DEEDS, (*["clean"] * 60, *DEEDS)))  # a third of the divers seldom fail
    for at, slot in enumerate(slots):
        today = _logged_on(chance, slot["date"], _planned(fold, slot), deeds, len(log))
        log += today
        if any("clearance" in one for one in today):  # a fold knows those that it began with
            fold = Fold(sheet, log, day(400))
            for earlier in slots[:at]:
                fold.day(earlier, _dives_of(log, earlier))
        fold.day(slot, _dives_of(today, slot))
    return log


def _planned(fold: Fold, slot: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the dives of a day's plan, before it begins."""
    n, state = number(slot["date"]), fold.state
    if slot["kind"] != "dive":
        return []
    if state.sheet["until"] is not None and slot["date"] >= state.sheet["until"]:
        state.enter()
    state.led_by(slot["lead"])
    wanted = state.wanted(n, NOTHING)
    return fold.listed(slot, n, wanted, fold.kind(slot, n, wanted, NOTHING)[0])


def _dives_of(log: list[dict[str, Any]], slot: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the dives of a day in the order of diving."""
    dives = [one for one in log if one["kind"] == "dive" and one["date"] == slot["date"]]
    return sorted(dives, key=lambda one: (one["at"] or "", one["id"]))


def _logged_on(
    chance: Random, on: str, planned: list[dict[str, Any]], deeds: Sequence[str], count: int
) -> list[dict[str, Any]]:
    """Return what was logged on a day, after so many records."""
    log: list[dict[str, Any]] = []
    for wanted in planned or [{"discipline": "CWT", "role": "deep", "target_m": 30.0}]:
        deed, name = chance.choice(deeds if planned else OFF_PLAN), f"{count + len(log):02}"
        if deed == "clear":
            log.append({"id": f"c{name}", "kind": "clearance", "clearance": on, "by": "Dr. Invented"})
        elif deed != "skip":
            record = _done(deed, wanted, on, chance.sample(SIGNS, chance.randint(0, 2)) if deed == "signs" else [])
            log.append({**record, "id": f"d{name}", "at": _clock(chance)})
            if deed == "turned_high" and chance.random() < 0.5:
                log.append({**record, "id": f"e{name}", "at": "17:00", "reached_m": record["target_m"]})
    return log


def _clock(chance: Random) -> str | None:
    return chance.choice((None, f"{chance.randint(7, 16):02}:30"))


def bare_sheet(chance: Random) -> Sheet:
    """The ladder sheet of any season, without its cards."""
    return without_cards(sheet_of(chance.choice((even_season, changed_season))(chance)))


def told(chance: Random, sheet: Sheet) -> tuple[list[dict[str, Any]], str]:
    """A log that mostly follows the plan of a sheet, and the day on which it is read."""
    count = chance.randint(0, min(len(sheet["days"]), 16))
    log = _dived(chance, sheet, count)
    for at, ago in enumerate(some(chance, 2, 1, 20)):
        log.append(dive(id=f"old{at}", date=day(-ago), signs=chance.choice(SIGNS_BEFORE)))
    words = [said(chance) for _ in range(chance.randint(0, 2))]
    log += {one["id"]: one for one in words}.values()
    log += proposed(chance)
    if chance.random() < 0.5:
        log.append({"id": "oldc", "kind": "clearance", "clearance": day(chance.randint(-20, 5)), "by": "Dr. Invented"})
    chance.shuffle(log)
    return log, day(max(-3, count + chance.randint(-4, 8)))


def story(chance: Random) -> tuple[Sheet, list[dict[str, Any]], str]:
    """Any sheet with one log and its day."""
    sheet = bare_sheet(chance)
    return sheet, *told(chance, sheet)


def seasons() -> st.SearchStrategy[dict[str, Any]]:
    """For property tests: any season as typed, without changes."""
    return SEEDS.map(lambda seed: even_season(Random(seed)))


def stories() -> st.SearchStrategy[tuple[Sheet, list[dict[str, Any]], str]]:
    """For property tests: any sheet with one log and its day."""
    return SEEDS.map(lambda seed: story(Random(seed)))


PROPOSED = SEEDS.map(lambda seed: proposed(Random(seed)))
