"""The strict checks of what a crew works from: its day, who is aboard, its guests, and the turns of the day's list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES, ROLES

CREW_DAY_FIELDS = {
    "date": "Day",
    "starts_at": "Start",
    "line_most_m": "Line at most",
    "line_keeper": "Line keeper",
    "boat": "Boat",
    "clock": "Clock",
    "site": "Site",
    "note": "Note",
}
GUEST_FIELDS = {"name": "Name", "may_meet_m": "May meet at most at", "note": "Note"}
ABOARD_FIELDS = {
    "date": "Day",
    "person": "Person",
    "name": "Name",
    "guest": "Guest",
    "ready": "Ready",
    "may_meet_m": "May meet at most at",
    "late_until": "Late until",
    "over": "Day over",
}
TURN_FIELDS = {
    "date": "Day",
    "person": "Diver",
    "discipline": "Discipline",
    "role": "Kind of dive",
    "depth_m": "Depth",
    "dive_s": "Dive time expected",
    "pause_s": "Surface interval before",
    "fixed_at": "Official time",
    "pinned": "Pinned to place",
    "safety": "Safety",
    "began_at": "In the water",
    "ended_at": "Back at the surface",
    "result": "Result",
    "reached_m": "Depth reached",
    "dive": "Logged dive",
}


def check_crew_day(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return the crew's day as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", CREW_DAY_FIELDS)
    day = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "starts_at": faults.clock(plain.get("starts_at"), "starts_at"),
        "line_most_m": faults.optional(plain.get("line_most_m"), "line_most_m", *book.limit("depth_m")),
        **{name: faults.uuid(plain.get(name), name) for name in ("line_keeper", "boat", "clock")},
        "site": faults.text(plain.get("site"), "site", book.limit("text")[1]),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
    }
    faults.refuse_if_any()
    return day


def check_guest(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a guest, who is known by name only, or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", GUEST_FIELDS)
    guest = {
        "name": _name(plain, book, faults),
        "may_meet_m": faults.optional(plain.get("may_meet_m"), "may_meet_m", *book.limit("depth_m")),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
    }
    faults.refuse_if_any()
    return guest


def check_aboard(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return that somebody is aboard on a day, or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", ABOARD_FIELDS)
    aboard = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "person": faults.uuid(plain.get("person"), "person", needed=True),
        "name": _name(plain, book, faults),
        **{name: faults.yes(plain.get(name), name) for name in ("guest", "ready", "over")},
        "may_meet_m": faults.optional(plain.get("may_meet_m"), "may_meet_m", *book.limit("depth_m")),
        "late_until": faults.clock(plain.get("late_until"), "late_until"),
    }
    faults.refuse_if_any()
    return aboard


def check_turn(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return one dive of the day's list, or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", TURN_FIELDS)
    turn = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "person": faults.uuid(plain.get("person"), "person", needed=True),
        "discipline": faults.choice(plain.get("discipline"), "discipline", DISCIPLINES),
        "role": faults.choice(plain.get("role"), "role", ROLES),
        "depth_m": faults.number(plain.get("depth_m"), "depth_m", *book.limit("depth_m")),
        "dive_s": faults.optional(plain.get("dive_s"), "dive_s", *book.limit("dive_s"), whole=True),
        "pause_s": faults.optional(plain.get("pause_s"), "pause_s", *book.limit("pause_s"), whole=True),
        "fixed_at": faults.clock(plain.get("fixed_at"), "fixed_at"),
        "pinned": faults.optional(plain.get("pinned"), "pinned", *book.limit("place"), whole=True),
        "safety": _safety(plain.get("safety"), book, faults),
        **_became(plain, book, faults),
    }
    faults.refuse_if_any()
    return turn


def _became(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return what became of a turn, as far as it is known."""
    result, results = plain.get("result"), tuple(book.texts["crew"]["result"])
    began_at, ended_at = (faults.instant(plain.get(name), name) for name in ("began_at", "ended_at"))
    if began_at and ended_at and ended_at < began_at:
        faults.add("ended_at", "is before the dive began")
    return {
        "began_at": began_at,
        "ended_at": ended_at,
        "result": None if result is None else faults.choice(result, "result", results),
        "reached_m": faults.optional(plain.get("reached_m"), "reached_m", *book.limit("depth_m")),
        "dive": faults.uuid(plain.get("dive"), "dive"),
    }


def _safety(value: object, book: Rulebook, faults: Faults) -> list[str] | None:
    """Return the persons who were named by hand as safety divers; None when nobody was named."""
    if value is None:
        return None
    most = int(book.limit("safety_divers")[1])
    if not isinstance(value, list) or len(value) > most:
        faults.add("safety", f"must be a list of at most {most} persons")
        return None
    found = [faults.uuid(one, f"safety[{index}]", needed=True) for index, one in enumerate(value)]
    return list(dict.fromkeys(found))


def _name(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> Any:
    name = faults.text(plain.get("name"), "name", book.limit("text")[1])
    if name is not None and not name.strip():
        faults.add("name", "is missing")
    return name
