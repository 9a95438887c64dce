"""The strict check of a doctor's clearance."""

from __future__ import annotations

from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook

CLEARANCE_FIELDS = {"clearance": "Date of the clearance", "by": "Cleared by", "note": "Note"}


def check_clearance(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a doctor's clearance as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", CLEARANCE_FIELDS)
    clearance = {
        "clearance": check_day(plain.get("clearance"), "clearance", book, faults),
        "by": faults.text(plain.get("by"), "by", book.limit("text")[1]),
    }
    if "note" in plain:  # clearances from before it have none
        clearance["note"] = faults.text(plain["note"], "note", book.limit("note")[1])
    if clearance["by"] is not None and not clearance["by"].strip():
        faults.add("by", "is missing: who cleared it")
    faults.refuse_if_any()
    return clearance
