"""The strict check of a technique focus: one at a time for each discipline, from a day on."""

from __future__ import annotations

from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES

FOCUS_FIELDS = {
    "from": "From",
    "discipline": "Discipline",
    "says": "Focus",
    "cue": "Cue",
    "set_by": "Set by",
    "note": "Note",
    "logged_at": "Moment logged",
}


def check_focus(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a focus as plain values (without its id), or raise Refused with every fault.

    It is in the diver's own words or a cue of the rulebook; `set_by` names a coach, empty for the diver.
    """
    faults = Faults()
    plain = faults.group(raw, "", FOCUS_FIELDS)
    cue = plain.get("cue")
    focus = {
        "from": check_day(plain.get("from"), "from", book, faults),
        "discipline": faults.choice(plain.get("discipline"), "discipline", DISCIPLINES),
        "says": faults.text(plain.get("says"), "says", book.limit("text")[1]),
        "cue": None if cue is None else faults.choice(cue, "cue", tuple(book.texts["cue"])),
        "set_by": faults.text(plain.get("set_by"), "set_by", book.limit("text")[1]),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
        "logged_at": faults.instant(plain.get("logged_at"), "logged_at"),
    }
    if focus["says"] is not None and not focus["says"].strip() and cue is None:
        faults.add("says", "is missing: own words, or a cue")
    faults.refuse_if_any()
    return focus
