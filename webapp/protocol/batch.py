"""Decides a batch of operations, one after the other, before anything is written. Pure: what exists is an argument.

Each operation is decided as a whole: a refused one changes nothing and does not block the others, as if each had its
own savepoint. A repeated operation gets the same answer again.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from ..rulebook.faults import Fault, Refused
from .envelope import read_operation
from .merge import DELETED, Check, merge
from .values import Entry, Operation, Record

STORED, REFUSED = "stored", "refused"
OTHER_USE = Fault("op", "was already used for something else")
OTHER_KIND = Fault("kind", "is not the kind of this record")
MOST_RECORDS = 50_000  # of one diver: twenty dives on each of a hundred days a year, for twenty-five years
NO_ROOM = Fault("", f"There are already {MOST_RECORDS} records, the most that this server keeps for one diver")
NOT_READ = Fault("", "The server could not process this. It is kept on the phone.")
log = logging.getLogger(__name__)

Answer = dict[str, Any]


@dataclass(frozen=True)
class Existing:
    """What exists already: records by id, earlier entries by operation, later operations of the same device.

    `room` is how many new records are allowed: changes to existing records are always accepted. `went_back` says that
    the device has used a counter of this batch before: its storage is an older copy, which knows nothing of `later`.
    """

    records: Mapping[str, Record]
    answered: Mapping[str, Entry]
    later: Sequence[Operation] = ()
    room: int = MOST_RECORDS
    went_back: bool = False


@dataclass
class Decided:
    """What to answer, to journal and to write; `as_sent` has the records that their phone knows without being told."""

    answers: list[Answer] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    records: dict[str, Record] = field(default_factory=dict)
    as_sent: dict[str, int] = field(default_factory=dict)


def read_all(raws: Iterable[object], device: str) -> list[Operation | Answer]:
    """Return each operation, or the answer that refuses one that cannot be read."""
    return [_read(raw, device) for raw in raws]


def decide(batch: Iterable[Operation | Answer], existing: Existing, arrived_at: str, check: Check) -> Decided:
    """Decide each operation in the order given; `arrived_at` is when the batch arrived."""
    decided, answered = Decided(), dict(existing.answered)
    room = existing.room
    made: dict[str, list[Operation]] = {}
    for earlier in () if existing.went_back else existing.later:
        made.setdefault(earlier.record, []).append(earlier)
    for asked in batch:
        if not isinstance(asked, Operation):
            decided.answers.append(asked)
        elif asked.op in answered:
            decided.answers.append(_repeated(asked, answered[asked.op]))
        else:
            known = decided.records.get(asked.record) or existing.records.get(asked.record)
            if known is None and room < 1:  # not journalled: it may be sent again when there is room
                decided.answers.append(_refused(asked.op, [NO_ROOM]))
                continue
            try:
                writer = _other(asked) if existing.went_back else asked
                entry, record = _decide(writer, known, made.setdefault(asked.record, []), arrived_at, check)
                entry = entry._replace(asked=asked) if existing.went_back else entry
            except Exception:  # one faulty operation must never block a whole outbox; it is not journalled either
                log.exception("operation %s could not be processed", asked.op)
                decided.answers.append(_refused(asked.op, [NOT_READ]))
                continue
            answered[asked.op] = entry
            decided.entries.append(entry)
            decided.answers.append(answer(entry))
            if record is not None:
                room -= known is None
                decided.records[asked.record] = record
                made[asked.record].append(asked)
    return decided


def answer(entry: Entry) -> Answer:
    """Return the answer to an operation: the same the first time and every other time."""
    faults = [{"field": fault.field, "says": fault.says} for fault in entry.faults]
    conflict = list(entry.conflict)
    return {"op": entry.asked.op, "status": entry.status, "rev": entry.rev, "faults": faults, "conflict": conflict}


def refused(raw: object, fault: Fault) -> Answer:
    """Return the answer that refuses an operation as it was sent, without looking at the rest of it."""
    named = raw.get("op") if isinstance(raw, Mapping) else None
    return _refused(named if isinstance(named, str) else None, [fault])


def _decide(
    asked: Operation, known: Record | None, made: Sequence[Operation], arrived_at: str, check: Check
) -> tuple[Entry, Record | None]:
    """Return the journal's entry and the record after the operation, or None if the operation is refused."""
    rev = known.rev if known else 0
    try:
        if known is not None and known.kind != asked.kind:
            raise Refused([OTHER_KIND])
        outcome = merge(known, asked, _later_names(asked, made), check)
    except Refused as found:
        return Entry(asked, arrived_at, REFUSED, rev, {}, {}, (), found.faults), None
    record = outcome.record
    return Entry(asked, arrived_at, STORED, record.rev, outcome.before, outcome.after, outcome.conflict), record


def _other(asked: Operation) -> Operation:
    """Return the operation as one of another device: what its device wrote since the copy was made is not its own."""
    return asked._replace(device=str(uuid5(NAMESPACE_URL, f"lineslate older copy of {asked.device}")))


def _later_names(asked: Operation, made: Sequence[Operation]) -> set[str]:
    """Return the names that the same device wrote in this record by operations that it made after this one."""
    names = set[str]()
    for other in made:
        if other.counter > asked.counter:
            names.update(other.fields if other.action == "put" else (), (DELETED,))
    return names


def _read(raw: object, device: str) -> Operation | Answer:
    try:
        return read_operation(raw, device)
    except Refused as found:
        named = raw.get("op") if isinstance(raw, Mapping) else None
        return _refused(named if isinstance(named, str) else None, found.faults)


def _repeated(asked: Operation, entry: Entry) -> Answer:
    """Answer an operation that arrived before, unless another operation now has the same id."""
    before = entry.asked
    same = (asked.kind, asked.record, asked.action) == (before.kind, before.record, before.action)
    return answer(entry) if same and asked.fields == before.fields else _refused(asked.op, [OTHER_USE])


def _refused(op: str | None, faults: Iterable[Fault]) -> Answer:
    listed = [{"field": fault.field, "says": fault.says} for fault in faults]
    return {"op": op, "status": REFUSED, "rev": 0, "faults": listed, "conflict": []}
