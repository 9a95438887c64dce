"""The strict check of one logged dive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .gear import CONDITIONS, check_conditions
from .model import DISCIPLINES, ROLES

# where a dive time is from: typed by the diver when nothing is said, or filled in by the plan and left as it was
TIMES_FROM = ("expected",)
MORE_CODES = ("turned_why", "equalisation", "recovery", "focus_rate")  # each a table of the rulebook
DIVE_FIELDS = {
    "date": "Date",
    "at": "Time surfaced",
    "surfaced_at": "Moment surfaced",
    "discipline": "Discipline",
    "role": "Kind of dive",
    "target_m": "Target depth",
    "reached_m": "Depth reached",
    "dive_s": "Dive time",
    "time_from": "Where the time is from",
    "effort": "Effort",
    "signs": "Signs",
    "turned_why": "Why turned",
    "contractions_m": "Contractions began at",
    "lighter_why": "Why the result is lighter",
    "logged_at": "Moment logged",
    "note": "Note",
    "safety": "Safety diver",
    "line_m": "Line length",
    "free_fall_m": "Free fall from",
    "down_s": "Time down",
    "hang_s": "Time at the plate",
    "equalisation": "Equalisation",
    "equalised_m": "Equalisation ended at",
    "recovery": "Recovery",
    "focus": "Focus",
    "focus_rate": "How the focus went",
    "filmed_by": "Filmed by",
    "logged_by": "Logged by",
    "confirmed": "Confirmed by its diver",
    **CONDITIONS,
}
MORE_NUMBERS = {
    "contractions_m": ("depth_m", False), "line_m": ("bottom_m", False), "free_fall_m": ("depth_m", False),
    "down_s": ("dive_s", True), "hang_s": ("hang_s", True), "equalised_m": ("depth_m", False),
}  # fmt: skip
MORE_TEXTS = {"lighter_why": "note", "safety": "text", "focus": "text", "filmed_by": "text", "logged_by": "text"}
NEWER = frozenset(("time_from", *MORE_CODES, *MORE_NUMBERS, *MORE_TEXTS, "logged_at", "confirmed", *CONDITIONS))


def check_dive(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return one logged dive as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain, limits = faults.group(raw, "", DIVE_FIELDS), book.limits
    dive = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "at": faults.clock(plain.get("at"), "at"),
        "surfaced_at": faults.instant(plain.get("surfaced_at"), "surfaced_at"),
        "discipline": faults.choice(plain.get("discipline"), "discipline", DISCIPLINES),
        "role": faults.choice(plain.get("role"), "role", ROLES),
        "target_m": faults.optional(plain.get("target_m"), "target_m", *limits["depth_m"]),
        "reached_m": faults.number(plain.get("reached_m"), "reached_m", *limits["depth_m"]),
        "dive_s": faults.optional(plain.get("dive_s"), "dive_s", *limits["dive_s"], whole=True),
        "effort": faults.optional(plain.get("effort"), "effort", *limits["effort"], whole=True),
        "signs": _signs(plain.get("signs"), book, faults),
        "note": faults.text(plain.get("note"), "note", limits["note"][1]),
    }
    dive |= _newer(plain, book, faults)
    _check_way_down(dive, faults)
    faults.refuse_if_any()
    return dive


def _check_way_down(dive: Mapping[str, Any], faults: Faults) -> None:
    """Refuse a way down that leaves nothing of the dive time for the way up."""
    down_s, dive_s = dive.get("down_s"), dive["dive_s"]
    if down_s is not None and dive_s is not None and down_s >= dive_s:
        faults.add("down_s", "must be less than the dive time")


def _newer(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return the fields that dives from before them do not have, and go on without."""
    found: dict[str, Any] = {}
    if NEWER.isdisjoint(plain):
        return found
    for name in ("time_from", *MORE_CODES):
        if name in plain:
            allowed = TIMES_FROM if name == "time_from" else book.texts[name]
            found[name] = None if plain[name] is None else faults.choice(plain[name], name, allowed)
    for name, (limit, whole) in MORE_NUMBERS.items():
        if name in plain:
            found[name] = faults.optional(plain[name], name, *book.limit(limit), whole=whole)
    for name, limit in MORE_TEXTS.items():
        if name in plain:
            found[name] = faults.text(plain[name], name, book.limit(limit)[1])
    if "logged_at" in plain:
        found["logged_at"] = faults.instant(plain["logged_at"], "logged_at")
    if "confirmed" in plain:
        found["confirmed"] = faults.yes(plain["confirmed"], "confirmed")
    return found | check_conditions(plain, book, faults)


def _signs(raw: object, book: Rulebook, faults: Faults) -> list[str]:
    """Return the signs in the rulebook's order, each once: the order in which they were tapped does not matter."""
    if raw is None or raw == []:
        return []
    if not isinstance(raw, list):
        faults.add("signs", "must be a list of signs")
        return []
    known = book.texts["sign"]
    for sign in raw:
        if not isinstance(sign, str) or sign not in known:
            faults.add("signs", f"{sign!r} is not a known sign")
    return [sign for sign in known if sign in raw]
