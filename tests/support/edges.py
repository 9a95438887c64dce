"""Seasons and logs right at the edge of one rule each: a generated season seldom comes there, both readers must."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from support.seasons import day, dive, proposal, word
from support.story import NO_SPACING, logged, season

Json = dict[str, Any]
Edge = tuple[Json, list[Json], int]  # the season as typed, the log, the day of reading
CLEAN, EARLY = {"target_m": 40}, {"target_m": 40, "reached_m": 15}
SLOW, LMC = {"target_m": 40, "signs": ["ears_slow"]}, {"target_m": 40, "signs": ["lmc"]}
CWT = {"discipline": "CWT", "best_m": 90, "start_m": 60, "step_m": 2.5, "repeats": 2, "goals": {"aim_m": 95}}
CLEARED = {"id": "c", "kind": "clearance", "clearance": day(8), "by": "Dr. Invented"}


def two() -> Json:
    """A season with FIM and CWT at a deep site."""
    raw = season(site={"name": "Invented Bay", "bottom_m": 120})
    raw["disciplines"].append(CWT)
    return raw


def away(days: int, **level: Any) -> Json:
    """A season that begins so many days after the last comfortable dive."""
    plain = {"start_m": None, "best_m": 44, "comfortable_m": 42, "comfortable_on": day(-days), "step_m": 3}
    return season(level={**plain, **level}, rules=NO_SPACING)


def shared() -> Json:
    """A season with a drill to half of the comfortable depth."""
    raw = season(level={"start_m": 30}, rules=NO_SPACING)
    drills = [{"discipline": "FIM", "share": 0.5, "dives": 1, "focus": ""}]
    rhythm = {name: raw.pop(name) for name in ("days_on", "days_off")}
    for name in ("block_days", "break_days", "lead", "drill"):
        del raw[name]
    return {**raw, "blocks": [{"first_day": day(0), "last_day": day(34), "main": "FIM", "drills": drills, **rhythm}]}


def changed(at: int, **level: Any) -> Json:
    """A season with another ladder from one day on."""
    raw = season()
    other = {"disciplines": [{**raw["disciplines"][0], **level}]}
    return {**raw, "changes": [{"from": day(at), "set": other, "why": "invented"}]}


def added(at: int) -> Json:
    """A season to which a change adds a discipline."""
    raw = season()
    both = {"disciplines": [*raw["disciplines"], CWT]}
    return {**raw, "changes": [{"from": day(at), "set": both, "why": "invented"}]}


def _tries() -> Iterator[tuple[str, Edge]]:
    yield "a third try", (season(), logged(*((0, "FIM", EARLY) for _ in range(3))), 1)
    drill = (0, "CWT", {"role": "drill", "target_m": 30})
    yield "the deepest of a day", (season(), logged((0, "FIM", CLEAN), (0, "CWT", {"target_m": 20}), drill), 1)
    first, second = {**EARLY, "at": None, "logged_at": "09"}, {**CLEAN, "at": None, "logged_at": "10"}
    log = logged((0, "FIM", first), (0, "FIM", second))
    yield "no times", (season(), [{**one, "id": name} for one, name in zip(log, "ba", strict=True)], 1)
    deep = {"best_m": 95, "start_m": 95, "goals": {"aim_m": 100}}
    high = logged((0, "FIM", {"target_m": 95, "reached_m": 5, "effort": 8}))
    yield "turned high", (season(days_on=9, site={"bottom_m": 120}, level=deep), high, 1)


def _harm() -> Iterator[tuple[str, Edge]]:
    yield "over", (season(), logged((0, "FIM", {**EARLY, "signs": ["lmc"]}), (0, "FIM", CLEAN)), 1)
    drill = (0, "FIM", {"role": "drill", "target_m": 20, "signs": ["lmc"]})
    yield "over by a drill", (season(), logged(drill, (0, "FIM", CLEAN)), 1)
    log = logged((0, "FIM", LMC), (28, "FIM", {"role": "drill", "reached_m": 20, "signs": ["lmc"]}))
    yield "a second LMC on the 28th day", (season(), log, 28)
    both = logged((0, "FIM", {"target_m": 40, "signs": ["lmc", "ear_pain"]}))
    yield "two signs", (season(rules={"lmc.no_deep_days": 10}), [*both, CLEARED], 8)
    yield "harm after the season", (season(), logged((40, "FIM", {"target_m": 40, "signs": ["cough"]})), 41)
    shallow = logged((0, "CNF", {"reached_m": 38, "signs": ["lmc"]}), (0, "CNF", {"reached_m": 30, "signs": ["lmc"]}))
    yield "two limits", (season(), [*shallow, CLEARED], 8)


def _ladder() -> Iterator[tuple[str, Edge]]:
    for days in (4, 5, 21, 22, 42, 43, 84, 85, 365, 366):
        yield f"{days} days away", (away(days), [], 0)
    yield "near enough", (away(30, comfortable_m=40), [dive(id="a", date=day(-10), discipline="CWT", reached_m=32)], 0)
    log = logged((0, "FIM", SLOW), (1, "FIM", CLEAN), (3, "FIM", SLOW))
    yield "two of three", (season(level={"repeats": 4}), log, 4)
    log = logged((0, "FIM", SLOW), (1, "FIM", CLEAN), (3, "FIM", CLEAN), (4, "FIM", SLOW))
    yield "two of four", (season(level={"repeats": 4}), log, 6)
    log = logged(*((at, "FIM", {"target_m": 40, "effort": effort}) for at, effort in enumerate((3, 4, 4))))
    yield "even effort", (season(level={"repeats": 3}, days_on=9, rules=NO_SPACING), log, 3)
    yield "share drill", (shared(), [], 0)
    yield "share drill after an LMC", (shared(), logged((0, "FIM", {"target_m": 30, "signs": ["lmc"]})), 1)
    log = logged((0, "FIM", CLEAN), (1, "FIM", CLEAN), (3, "FIM", {"target_m": 42}))
    yield "another step", (changed(4, step_m=1), log, 4)
    cough = logged((0, "FIM", {"target_m": 40, "signs": ["cough"]}))
    lmc = logged((0, "CWT", {"role": "drill", "target_m": 40, "signs": ["lmc"]}))
    for name, some in (("a stand-down", [*cough, CLEARED]), ("an LMC", lmc)):
        yield f"a discipline added after {name}", (added(16), some, 16)
    yield "another start", (changed(4, start_m=30), log, 4)


def _words() -> Iterator[tuple[str, Edge]]:
    log = logged((0, "FIM", CLEAN), (1, "FIM", CLEAN))
    for fields in (
        {"hold": True},
        {"shallower": 1},
        {"main": "CWT"},
        {"no_diving": "sick"},
        {"taxing": True},
        {"not_ready": ["fever", "congestion"]},
        {"easy": True},
    ):
        yield f"{next(iter(fields))} on a day", (two(), [*log, word(day(3), **fields)], 2)
    for name, made in {
        "an easy day of a coach": [proposal(day(3), "easy", to=day(5))],
        "a cap between two rungs": [proposal(day(3), "cap", depth_m=41, says="")],
        "a cap at the rung": [proposal(day(3), "cap", depth_m=42, discipline="FIM")],
        "a cap above every rung": [proposal(day(3), "cap", depth_m=4)],
        "a cap for drills only": [proposal(day(3), "cap", depth_m=8, discipline="CNF")],
        "two caps": [proposal(day(3), "cap", depth_m=40), proposal(day(3), "cap", depth_m=38, id="z", by="Odd")],
        "an easy day that was declined": [proposal(day(3), "easy", answer="declined")],
    }.items():
        yield name, (two(), [*log, *made], 2)


def _pauses() -> Iterator[tuple[str, Edge]]:
    between = {"role": "drill", "target_m": 10, "at": "09:02", "dive_s": 30}
    drill = {"role": "drill", "target_m": 22, "at": "09:06", "dive_s": 60}
    log = logged((0, "FIM", {**CLEAN, "at": "09:00", "dive_s": 80}), (0, "CWT", between), (0, "CWT", drill))
    yield "a pause that still runs", (season(), log, 1)


EDGES: dict[str, Edge] = dict(edge for some in (_tries(), _harm(), _ladder(), _words(), _pauses()) for edge in some)
