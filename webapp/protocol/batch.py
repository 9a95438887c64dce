"""A batch of operations, decided one after the other before anything is written. Pure: what it meets comes in.

Each is decided whole: a refused one leaves nothing behind and holds up none of the others, as a savepoint each would
see to. What was answered before is answered the same again.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ..rulebook.faults import Fault, Refused
from .envelope import read_operation
from .merge import DELETED, Check, merge
from .values import Entry, Operation, Record

STORED, REFUSED = "stored", "refused"
OTHER_USE = Fault("op", "was used before for something else")
OTHER_KIND = Fault("kind", "is another one than the record's")
MOST_RECORDS = 50_000  # of one diver: twenty dives on each of a hundred days a year, for twenty-five years
NO_ROOM = Fault("", f"There are {MOST_RECORDS} records already, the most that this server keeps for one diver")
NOT_READ = Fault("", "The server could not work with this. It is kept on the phone.")
log = logging.getLogger(__name__)

Answer = dict[str, Any]


@dataclass(frozen=True)
class Met:
    """What the operations of a batch meet: records by id, earlier entries by operation, the device's later ones.

    `room` is for how many new records there is room: changes of those that are there are always taken.
    """

    records: Mapping[str, Record]
    answered: Mapping[str, Entry]
    later: Sequence[Operation] = ()
    room: int = MOST_RECORDS


@dataclass
class Decided:
    """What is to be answered, journalled and written."""

    answers: list[Answer] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    records: dict[str, Record] = field(default_factory=dict)


def read_all(raws: Iterable[object], device: str) -> list[Operation | Answer]:
    """Return each operation, or the answer that refuses one that cannot be read."""
    return [_read(raw, device) for raw in raws]


def decide(batch: Iterable[Operation | Answer], met: Met, at: str, check: Check) -> Decided:
    """Decide each operation in the order given; `at` is when the batch arrived."""
    decided, answered = Decided(), dict(met.answered)
    room = met.room
    made: dict[str, list[Operation]] = {}
    for earlier in met.later:
        made.setdefault(earlier.record, []).append(earlier)
    for one in batch:
        if not isinstance(one, Operation):
            decided.answers.append(one)
        elif one.op in answered:
            decided.answers.append(_repeated(one, answered[one.op]))
        else:
            known = decided.records.get(one.record) or met.records.get(one.record)
            if known is None and room < 1:  # not journalled: it may be sent again when there is room
                decided.answers.append(_refused(one.op, [NO_ROOM]))
                continue
            try:
                entry, record = _decide(one, known, made.setdefault(one.record, []), at, check)
            except Exception:  # one odd operation must never hold up a whole outbox; it is not journalled either
                log.exception("operation %s could not be worked with", one.op)
                decided.answers.append(_refused(one.op, [NOT_READ]))
                continue
            answered[one.op] = entry
            decided.entries.append(entry)
            decided.answers.append(answer(entry))
            if record is not None:
                room -= known is None
                decided.records[one.record] = record
                made[one.record].append(one)
    return decided


def answer(entry: Entry) -> Answer:
    """Return what a phone is told of an operation, the first time and every other time."""
    told = [{"field": fault.field, "says": fault.says} for fault in entry.faults]
    result = {"op": entry.asked.op, "status": entry.status, "rev": entry.rev, "faults": told}
    return {**result, "conflict": list(entry.conflict)}


def _decide(
    asked: Operation, known: Record | None, made: Sequence[Operation], at: str, check: Check
) -> tuple[Entry, Record | None]:
    """Return the journal's entry and the record as it then stands, or None when the operation is refused."""
    rev = known.rev if known else 0
    try:
        if known is not None and known.kind != asked.kind:
            raise Refused([OTHER_KIND])
        outcome = merge(known, asked, _later_names(asked, made), check)
    except Refused as refused:
        return Entry(asked, at, REFUSED, rev, {}, {}, (), refused.faults), None
    stands = outcome.record
    return Entry(asked, at, STORED, stands.rev, outcome.before, outcome.after, outcome.conflict), stands


def _later_names(asked: Operation, made: Sequence[Operation]) -> set[str]:
    """Return what the same device wrote to this record in operations that it made after this one."""
    names = set[str]()
    for one in made:
        if one.counter > asked.counter:
            names.update(one.fields if one.action == "put" else (), (DELETED,))
    return names


def _read(raw: object, device: str) -> Operation | Answer:
    try:
        return read_operation(raw, device)
    except Refused as refused:
        named = raw.get("op") if isinstance(raw, Mapping) else None
        return _refused(named if isinstance(named, str) else None, refused.faults)


def _repeated(asked: Operation, entry: Entry) -> Answer:
    """Answer an operation that came before, unless something else now goes by its name."""
    before = entry.asked
    same = (asked.kind, asked.record, asked.action) == (before.kind, before.record, before.action)
    return answer(entry) if same and asked.fields == before.fields else _refused(asked.op, [OTHER_USE])


def _refused(op: str | None, faults: Iterable[Fault]) -> Answer:
    told = [{"field": fault.field, "says": fault.says} for fault in faults]
    return {"op": op, "status": REFUSED, "rev": 0, "faults": told, "conflict": []}
