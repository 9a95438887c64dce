"""Records as they are now, and the feed of their changes.

Written in SQL: a batch of a hundred comes through here, and Peewee's query building would take longer than the writing.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from webapp.protocol.values import Change, Record
from webapp.store.sqlite.database import execute, execute_many

_encode = json.JSONEncoder(separators=(",", ":")).encode  # made once: json.dumps makes one for each call
NOTHING: Mapping[str, int] = {}
Texts = Mapping[int, str]  # the JSON of a mapping by its identity, while somebody holds the mapping
NO_TEXTS: Texts = {}
COLUMNS = "kind, record, fields, revs, writers, rev, deleted, seq"


def get_records(feed_id: int, names: Iterable[str]) -> dict[str, Record]:
    """Return the named records that exist, by their id."""
    wanted = list(names)
    sql = f"SELECT {COLUMNS} FROM record WHERE feed_id = ? AND record IN ({marks(wanted)})"  # noqa: S608 - only marks
    return {row[1]: _record(row) for row in execute(sql, (feed_id, *wanted))}


def put_records(feed_id: int, records: Sequence[Record], texts: Texts = NO_TEXTS) -> None:
    """Write records as they are now, each with the feed's next change number.

    `texts` has the JSON of the fields of some of them, as far as the journal has written it.
    """
    first = take_numbers(feed_id, len(records)) - len(records) + 1
    sql = f"INSERT OR REPLACE INTO record (feed_id, {COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"  # noqa: S608
    execute_many(sql, [(feed_id, *_row(record, seq, texts)) for seq, record in enumerate(records, first)])


def take_numbers(feed_id: int, count: int) -> int:
    """Raise the feed's change number by this count and return it."""
    sql = "UPDATE feed SET seq = seq + ? WHERE id = ? RETURNING seq"
    return int(execute(sql, (count, feed_id)).fetchone()[0])


def last_number(feed_id: int) -> int:
    """Return the feed's last change number."""
    return int(execute("SELECT seq FROM feed WHERE id = ?", (feed_id,)).fetchone()[0])


def count_records(feed_id: int) -> int:
    """Return how many records a feed has, the deleted ones too."""
    return int(execute("SELECT count(*) FROM record WHERE feed_id = ?", (feed_id,)).fetchone()[0])


def changes(feed_id: int, after: int, most: int, known: Mapping[str, int] = NOTHING) -> list[Change]:
    """Return at most `most` records changed after this number, in the order of their last change.

    Those that are `known` at their rev come without their fields, which nobody needs to read then.
    """
    sql = (
        "SELECT seq, kind, record, rev, deleted, fields FROM record WHERE feed_id = ? AND seq > ? ORDER BY seq LIMIT ?"
    )
    rows = execute(sql, (feed_id, after, most)).fetchall()
    fields = _loads("{}" if known.get(record) == rev else text for _, _, record, rev, _, text in rows)
    return [
        Change(seq, kind, record, rev, bool(deleted), read)
        for (seq, kind, record, rev, deleted, _), read in zip(rows, fields, strict=True)
    ]


def whole_log(feed_id: int) -> list[dict[str, Any]]:
    """Return the fields of every record that is not deleted, with its id and kind, in no order."""
    sql = "SELECT record, kind, fields FROM record WHERE feed_id = ? AND NOT deleted"
    rows = execute(sql, (feed_id,)).fetchall()
    log = _loads(row[2] for row in rows)
    for (record, kind, _), fields in zip(rows, log, strict=True):
        fields.update(id=record, kind=kind)  # in place: copying ten thousand dives would take as long as reading them
    return log


def marks(values: Sequence[object]) -> str:
    """Return as many question marks as there are values."""
    return ",".join("?" * len(values))


def compact(value: Mapping[str, Any] | Sequence[Any]) -> str:
    """Return JSON without spaces; all ASCII, so that SQLite can store any character."""
    if not value:  # much of what a journal keeps
        return "[]" if isinstance(value, (list, tuple)) else "{}"
    return _encode(value)


@lru_cache(maxsize=128)
def _compact_alike(names: tuple[str, ...], values: tuple[int | str, ...]) -> str:
    """Return the JSON of what is the same for most records of a batch: which rev wrote a field, which device a rev."""
    return _encode(dict(zip(names, values, strict=True)))


def _loads(texts: Iterable[str]) -> list[dict[str, Any]]:
    """Read many JSON texts in one call, which takes half the time of one call each."""
    read: list[dict[str, Any]] = json.loads("[" + ",".join(texts) + "]")
    return read


def _record(row: Any) -> Record:
    kind, record, fields, revs, writers, rev, deleted, seq = row
    return Record(kind, record, json.loads(fields), json.loads(revs), json.loads(writers), rev, bool(deleted), seq)


def _row(record: Record, seq: int, texts: Texts) -> tuple[object, ...]:
    fields, revs, writers = texts.get(id(record.fields)) or compact(record.fields), record.revs, record.writers
    alike = (_compact_alike(tuple(one), tuple(one.values())) for one in (revs, writers))
    return (record.kind, record.record, fields, *alike, record.rev, int(record.deleted), seq)
