"""The strict check of a whole log file: every fault of every record at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults, is_whole
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .kinds import LOG, check_record, of_feed


def check_log(raw: object, book: Rulebook) -> list[dict[str, Any]]:
    """Return a whole log, each record with its id and kind, or raise Refused with every fault of every record."""
    faults = Faults()
    if not isinstance(raw, list) or len(raw) > book.limit("log")[1]:
        faults.add("", f"must be a list of at most {book.limit('log')[1]} records")
        faults.refuse_if_any()
    records: list[object] = raw if isinstance(raw, list) else []
    checked = [_record(record, f"[{index}]", book, faults) for index, record in enumerate(records)]
    times = Counter(record["id"] for record in checked if "id" in record)
    for twice in sorted(name for name, count in times.items() if count > 1):
        faults.add("id", f"{twice!r} is used by more than one record")
    faults.refuse_if_any()
    return checked


def _record(record: object, place: str, book: Rulebook, faults: Faults) -> dict[str, Any]:
    if not isinstance(record, Mapping):
        faults.add(place, "must be an object")
        return {}
    plain = dict(record)
    name, kind = plain.pop("id", None), plain.pop("kind", None) or _kind_of_old(plain)
    if kind == "day" and "day" in plain and "date" not in plain:  # log files call the day of such a record `day`
        plain["date"] = plain.pop("day")
    named = isinstance(name, str) and 0 < len(name) <= book.limit("text")[1]
    if not named and kind != "clearance":  # old files name their dives only
        faults.add(f"{place}.id", "is missing: the record's own name")
    elif named and not is_whole(name):
        faults.add(f"{place}.id", "must be text of whole characters: it contains half of one")
    try:
        return {**({"id": name} if named else {}), "kind": kind, **_checked(kind, plain, book)}
    except Refused as refused:
        for fault in refused.faults:
            faults.add(f"{place}.{fault.field}", fault.says)
        return {}


def _checked(kind: object, plain: Mapping[str, Any], book: Rulebook) -> dict[str, Any]:
    faults = Faults()
    faults.choice(kind, "kind", of_feed(LOG))
    faults.refuse_if_any()
    return check_record(str(kind), plain, book)


def _kind_of_old(plain: Mapping[str, Any]) -> str:
    """Return the kind of a record from a file in which none says it: each has a field that the others do not have."""
    return "clearance" if "clearance" in plain else "day" if "day" in plain else "dive"
