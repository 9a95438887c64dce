"""The strict check of what a coach proposes to a diver, and of the diver's answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES

PROPOSALS = ("cap", "easy", "focus", "setting", "comment")
ANSWERS = ("accepted", "declined")
ANSWER_FIELDS = {"answer": "Answer", "answered_at": "Moment answered"}  # the diver's own
PROPOSAL_FIELDS = {
    "date": "From",
    "to": "Until",
    "what": "Proposal",
    "discipline": "Discipline",
    "depth_m": "Not deeper than",
    "says": "Words",
    "setting": "Setting",
    "value": "Value",
    "dive": "Dive",
    "by": "Proposed by",
    "by_person": "Person who proposed",
    **ANSWER_FIELDS,
    "logged_at": "Moment logged",
}
NEEDS = {  # what each of them makes no sense without
    "cap": ("depth_m",), "easy": (), "focus": ("discipline", "says"), "setting": ("setting", "value"),
    "comment": ("dive", "says"),
}  # fmt: skip


def check_proposal(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a proposal as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", PROPOSAL_FIELDS)
    found = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "to": None if plain.get("to") is None else check_day(plain["to"], "to", book, faults),
        "what": faults.choice(plain.get("what"), "what", PROPOSALS),
        "discipline": _one_of(plain.get("discipline"), "discipline", DISCIPLINES, faults),
        "depth_m": faults.optional(plain.get("depth_m"), "depth_m", *book.limit("depth_m")),
        "says": faults.text(plain.get("says"), "says", book.limit("note")[1]),
        **_setting(plain, book, faults),
        "dive": faults.uuid(plain.get("dive"), "dive"),
        "by": faults.text(plain.get("by"), "by", book.limit("text")[1]),
        "answer": _one_of(plain.get("answer"), "answer", ANSWERS, faults),
        "answered_at": faults.instant(plain.get("answered_at"), "answered_at"),
        "logged_at": faults.instant(plain.get("logged_at"), "logged_at"),
        **({"by_person": faults.uuid(plain["by_person"], "by_person")} if "by_person" in plain else {}),
    }
    _check_whole(found, faults)
    faults.refuse_if_any()
    return found


def _setting(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return which number of the rulebook should change and to what; its own bounds hold."""
    name, value = plain.get("setting"), plain.get("value")
    if name is None:
        return {"setting": None, "value": None if value is None else faults.number(value, "value", None, None)}
    entry = book.by_name.get(name) if isinstance(name, str) else None
    if entry is None or entry.columns is not None:
        faults.add("setting", "is not a number of the rulebook")
        return {"setting": None, "value": value}
    if value is None:
        return {"setting": name, "value": None}
    return {"setting": name, "value": faults.number(value, "value", entry.min, entry.max, whole=entry.whole)}


def _check_whole(found: Mapping[str, Any], faults: Faults) -> None:
    """Note what this kind of proposal makes no sense without, unless it has a fault already."""
    noted = {fault.field for fault in faults.found}
    for name in NEEDS.get(found["what"], ()):
        value = found[name]
        if name not in noted and (value is None or (isinstance(value, str) and not value.strip())):
            faults.add(name, "is missing")
    if found["date"] and found["to"] and found["to"] < found["date"]:
        faults.add("to", "is before the first day")


def _one_of(value: object, field: str, allowed: tuple[str, ...], faults: Faults) -> Any:
    return None if value is None else faults.choice(value, field, allowed)
