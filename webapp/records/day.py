"""The strict check of what a diver says on the boat about a day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .gear import CONDITIONS, check_conditions
from .model import DISCIPLINES

READINESS = {
    "sleep": "Sleep",
    "fatigue": "Fatigue",
    "stress": "Stress",
    "soreness": "Soreness",
    "not_ready": "No deep dive because of",
    "easy": "Easy day",
    "not_easy_why": "Why no easy day",
    "ate_at": "Last meal",
    "body_note": "Body",
}
WHOLE_DAY = {"rpe": "How hard was the whole day, 0 to 10", "minutes": "Minutes in the water"}  # for the load
SAW = {"saw": "What I saw on video"}
CHECKED = {"checked": "Checked at the line", "own_checks": "Own items of the check"}
DAY_FIELDS = {
    "date": "Day",
    "to": "Until",
    "no_diving": "Why no diving",
    "hold": "Same depth again",
    "shallower": "Rungs shallower",
    "main": "Other main discipline",
    "taxing": "Too taxing to repeat tomorrow",
    "note": "Note",
    **READINESS,
    **WHOLE_DAY,
    **CHECKED,
    **SAW,
    **CONDITIONS,
}


def check_boat_day(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return the word for a day as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", DAY_FIELDS)
    word = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "to": None if plain.get("to") is None else check_day(plain["to"], "to", book, faults),
        "no_diving": _one_of(plain.get("no_diving"), "no_diving", tuple(book.texts["no_diving"]), faults),
        "hold": faults.yes(plain.get("hold"), "hold"),
        "shallower": faults.optional(plain.get("shallower"), "shallower", *book.limit("shallower"), whole=True),
        "main": _one_of(plain.get("main"), "main", DISCIPLINES, faults),
        "taxing": faults.yes(plain.get("taxing"), "taxing"),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
    }
    _check_range(word, book, faults)
    word |= _readiness(plain, book, faults) | _whole_day(plain, book, faults) | _checks(plain, book, faults)
    word |= check_conditions(plain, book, faults)
    faults.refuse_if_any()
    return word


def _readiness(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return how ready the diver felt in the morning, as far as it was said."""
    found: dict[str, Any] = {}
    for item in book.texts["readiness"]:
        if item in plain:
            found[item] = faults.optional(plain[item], item, *book.limit("readiness"), whole=True)
    if "not_ready" in plain:
        found["not_ready"] = faults.codes(plain["not_ready"], "not_ready", tuple(book.texts["not_ready"]))
    if "easy" in plain:
        found["easy"] = faults.yes(plain["easy"], "easy")
    if "ate_at" in plain:
        found["ate_at"] = faults.clock(plain["ate_at"], "ate_at")
    for name in ("not_easy_why", "body_note", "saw"):
        if name in plain:
            found[name] = faults.text(plain[name], name, book.limit("note")[1])
    return found


def _whole_day(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return how hard the whole day was and how long, as far as it was said."""
    given = [name for name in WHOLE_DAY if name in plain]
    return {name: faults.optional(plain[name], name, *book.limit(name), whole=True) for name in given}


def _checks(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return what was checked at the line: codes of the rulebook and own items, which stand as they were typed."""
    longest, most = book.limit("text")[1], book.limit("check_items")[1]
    return {name: faults.texts(plain[name], name, longest, most) for name in CHECKED if name in plain}


def _check_range(word: dict[str, Any], book: Rulebook, faults: Faults) -> None:
    if not word["date"] or not word["to"]:
        return
    days = (date.fromisoformat(word["to"]) - date.fromisoformat(word["date"])).days + 1
    most = book.limit("day_range")[1]
    if days < 1:
        faults.add("to", "is before the day itself")
    elif days > most:
        faults.add("to", f"makes {days} days; one word holds for at most {most}")


def _one_of(value: object, field: str, allowed: tuple[str, ...], faults: Faults) -> Any:
    return None if value is None else faults.choice(value, field, allowed)
