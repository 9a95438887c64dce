"""The journal: every operation that was answered, kept for good. Written in SQL for the same reason as the records."""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from webapp.protocol.values import Entry, Operation
from webapp.rulebook.faults import Fault
from webapp.store.records import Texts, compact, marks
from webapp.store.sqlite.database import execute, execute_many

ASKED = "op, device, counter, kind, record, action, fields, base, made_at"
COLUMNS = f"{ASKED}, received_at, status, rev, before, after, conflict, faults"
AFTER = f"feed_id, author_id, {COLUMNS}".split(", ").index("after")


def add_entries(feed_id: int, author_id: int | None, entries: Sequence[Entry]) -> Texts:
    """Write operations with their answers; the author is the diver whose phone sent them.

    Returns the JSON of what each changed: a new record is just that.
    """
    sql = f"INSERT INTO journal (feed_id, author_id, {COLUMNS}) VALUES ({marks(' ' * 18)})"  # noqa: S608 - only marks
    rows = [(feed_id, author_id, *_row(entry)) for entry in entries]
    execute_many(sql, rows)
    return {id(entry.after): row[AFTER] for entry, row in zip(entries, rows, strict=True)}


def find_entries(feed_id: int, ops: Iterable[str]) -> dict[str, Entry]:
    """Return the entries of the named operations that were answered before."""
    wanted = list(ops)
    sql = f"SELECT {COLUMNS} FROM journal WHERE feed_id = ? AND op IN ({marks(wanted)})"  # noqa: S608 - only marks
    return {row[0]: _entry(row) for row in execute(sql, (feed_id, *wanted))}


def later_operations(feed_id: int, device: str, counter: int, records: Iterable[str]) -> list[Operation]:
    """Return the operations with a higher counter that were stored for this device and these records."""
    wanted = list(records)
    sql = (
        f"SELECT {ASKED} FROM journal WHERE feed_id = ? AND device = ? AND counter > ? "  # noqa: S608 - only marks
        f"AND status = 'stored' AND record IN ({marks(wanted)}) ORDER BY id"
    )
    return [_operation(row) for row in execute(sql, (feed_id, device, counter, *wanted))]


def is_counter_used(author_id: int, device: str, counters: Iterable[int]) -> bool:
    """Tell whether this device of this diver has sent an operation under one of these counters, to whatever feed."""
    wanted = list(counters)
    sql = f"SELECT 1 FROM journal WHERE author_id = ? AND device = ? AND counter IN ({marks(wanted)}) LIMIT 1"  # noqa: S608
    return bool(execute(sql, (author_id, device, *wanted)).fetchone())


def written_by(feed_id: int, author_id: int, records: Iterable[str]) -> set[str]:
    """Return those of the named records in which this diver has written."""
    wanted = list(records)
    written = "SELECT DISTINCT record FROM journal WHERE feed_id = ? AND author_id = ? AND status = 'stored'"
    rows = execute(f"{written} AND record IN ({marks(wanted)})", (feed_id, author_id, *wanted))
    return {record for (record,) in rows}


def entries_of(feed_id: int, record: str) -> list[Entry]:
    """Return every operation ever received for one record, in the order of arrival."""
    sql = f"SELECT {COLUMNS} FROM journal WHERE feed_id = ? AND record = ? ORDER BY id"  # noqa: S608
    return [_entry(row) for row in execute(sql, (feed_id, record))]


def authors_of(feed_id: int, record: str) -> dict[str, int | None]:
    """Return whose phone sent each operation on a record, by operation; None for somebody who has left."""
    return dict(execute("SELECT op, author_id FROM journal WHERE feed_id = ? AND record = ?", (feed_id, record)))


def latest_entries(feed_id: int, most: int) -> list[tuple[Entry, int | None]]:
    """Return the last operations on a feed with their authors, the latest first."""
    sql = f"SELECT {COLUMNS}, author_id FROM journal WHERE feed_id = ? ORDER BY id DESC LIMIT ?"  # noqa: S608
    return [(_entry(row[:-1]), row[-1]) for row in execute(sql, (feed_id, most))]


def all_entries(feed_id: int) -> list[Entry]:
    """Return every operation ever received for a feed, in the order of arrival."""
    sql = f"SELECT {COLUMNS} FROM journal WHERE feed_id = ? ORDER BY id"  # noqa: S608
    return [_entry(row) for row in execute(sql, (feed_id,))]


def last_counter(author_id: int, device: str) -> int:
    """Return the highest counter that this device of this diver ever sent, 0 when it never sent anything."""
    sql = "SELECT max(counter) FROM journal WHERE author_id = ? AND device = ?"
    return int(execute(sql, (author_id, device)).fetchone()[0] or 0)


def _operation(row: Any) -> Operation:
    op, device, counter, kind, record, action, fields, base, made_at = row
    return Operation(op, device, counter, kind, record, action, json.loads(fields), base, made_at)


def _entry(row: Any) -> Entry:
    received_at, status, rev, before, after, conflict, faults = row[9:]
    reasons = tuple(Fault(**fault) for fault in json.loads(faults))
    changed = json.loads(before), json.loads(after), tuple(json.loads(conflict))
    return Entry(_operation(row[:9]), received_at, status, rev, *changed, reasons)


def _row(entry: Entry) -> tuple[Any, ...]:
    asked, fields = entry.asked, compact(entry.asked.fields)
    sent = (asked.op, asked.device, asked.counter, asked.kind, asked.record, asked.action, fields)
    faults = [{"field": fault.field, "says": fault.says} for fault in entry.faults]
    after = fields if _is_written_alike(entry.after, asked.fields) else compact(entry.after)
    changed = (compact(entry.before), after, compact(entry.conflict), compact(faults))
    return (*sent, asked.base, asked.made_at, entry.received_at, entry.status, entry.rev, *changed)


def _is_written_alike(changed: Mapping[str, Any], sent: Mapping[str, Any]) -> bool:
    """Tell whether both are the same JSON but for the order of names, as of a new dive: 1.0 equals 1, and is not."""
    return changed == sent and list(map(type, changed.values())) == [type(sent[name]) for name in changed]
