"""The strict check of a whole log: every fault of every record at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .clearance import check_clearance
from .dive import check_dive


def check_log(raw: object, book: Rulebook) -> list[dict[str, Any]]:
    """Return a whole log, each record with its id, or raise Refused with every fault of every record."""
    faults = Faults()
    if not isinstance(raw, list) or len(raw) > book.limit("log")[1]:
        faults.add("", f"has to be a list of at most {book.limit('log')[1]} records")
        faults.refuse_if_any()
    records: list[object] = raw if isinstance(raw, list) else []
    checked = [_record(record, at, book, faults) for at, record in enumerate(records)]
    times = Counter(record["id"] for record in checked if "id" in record)
    for twice in sorted(name for name, count in times.items() if count > 1):
        faults.add("id", f"{twice!r} is used by more than one record")
    faults.refuse_if_any()
    return checked


def _record(record: object, at: int, book: Rulebook, faults: Faults) -> dict[str, Any]:
    if not isinstance(record, Mapping):
        faults.add(f"[{at}]", "has to be a group of fields")
        return {}
    plain = dict(record)
    name = plain.pop("id", None)
    clearing = "clearance" in plain
    if not clearing and (not isinstance(name, str) or not name or len(name) > book.limit("text")[1]):
        faults.add(f"[{at}].id", "is missing: the record's own name")
    try:
        checked = (check_clearance if clearing else check_dive)(plain, book)
    except Refused as refused:
        for fault in refused.faults:
            faults.add(f"[{at}].{fault.field}", fault.says)
        return {}
    return {"id": name, **checked} if isinstance(name, str) else checked
