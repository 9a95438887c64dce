"""Which records a phone knows without being told: those that hold just what it has sent on top of what it has read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from .values import Entry, Operation, Record

STORED = "stored"


def as_sent(
    before: Mapping[str, Record], entries: Iterable[Entry], after: Mapping[str, Record], read_to: int
) -> dict[str, int]:
    """Return the rev of each such record, after the entries of one batch.

    `before` and `after` have the records as they were and are; `read_to` is the last change that the phone has read.
    """
    made: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.status == STORED:
            made.setdefault(entry.asked.record, []).append(entry)
    return {
        record: after[record].rev
        for record, own in made.items()
        if not any(entry.conflict for entry in own)
        and _is_known(before.get(record), own[0].asked, read_to)
        and _is_same(before.get(record), [entry.asked for entry in own], after[record])
    }


def _is_known(before: Record | None, first: Operation, read_to: int) -> bool:
    """Tell whether the phone had read the record as it was when it made its first operation."""
    if before is None:
        return first.base == 0
    return before.seq <= read_to and before.rev == first.base


def _is_same(before: Record | None, made: Sequence[Operation], after: Record) -> bool:
    """Tell whether the operations, done one after the other as the phone does them, lead to the same record."""
    fields, deleted = dict(before.fields) if before else {}, False
    for asked in made:
        fields.update(asked.fields)
        deleted = asked.action == "delete"
    return fields == after.fields and deleted == after.deleted
