"""How a server begins and ends with its data file: after an unclean stop the file is checked.

When something is missing or damaged, the file gets a new epoch, and phones offer what it lacks.
"""

import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from peewee import DatabaseError

from webapp.store import meta
from webapp.store.sqlite import database, marker, wal
from webapp.store.sqlite.unavailable import Unavailable

LAST_WAIT_MS = 500  # for another program that uses the file, when the server ends
LOG_DAMAGED = "its write-ahead log is damaged, and the changes in it are lost"
WENT_BACK = "it is older than the one that the last server used"
NOT_WHOLE = "it is damaged: restore a backup"
LACKS = "{} records are older than the journal says, or missing"
UNEXPLAINED = "{} records are not in the journal"
FOUND_OK = "The data file was not closed properly. It was checked: nothing is missing."
RENEWED = "The data file has a new epoch: phones send again what it lacks."
LOST = """
    SELECT count(*) FROM (SELECT feed_id, record, max(rev) AS rev FROM journal WHERE status = 'stored' GROUP BY 1, 2)
    AS told LEFT JOIN record USING (feed_id, record) WHERE record.rev IS NULL OR record.rev < told.rev
"""
UNTOLD = """
    SELECT count(*) FROM record WHERE NOT EXISTS (
        SELECT 1 FROM journal WHERE journal.feed_id = record.feed_id AND journal.record = record.record)
"""
COMPARED = ((LACKS, LOST), (UNEXPLAINED, UNTOLD))


@dataclass(frozen=True)
class Begun:
    """What a server knows of its file before it opens it."""

    held: marker.Held
    is_to_check: bool
    is_log_damaged: bool


def begin(file: Path, *, is_new: bool = False) -> Begun:
    """Hold the file, before anything opens it: SQLite would drop a damaged log without a word.

    Raises marker.Vanished when it was there before and is missing now, unless a new one is asked for.
    """
    if is_new:
        marker.forget(file)
    held = marker.hold(file)
    is_to_check = held.is_alone and file.stat().st_size > 0 and not (held.left and held.left.is_closed)
    log_file = file.with_name(file.name + "-wal")
    return Begun(held, is_to_check, is_to_check and wal.is_damaged(log_file))


def look(begun: Begun) -> list[str]:
    """Check the open file if it was not closed properly, or has gone back; return what to tell whoever runs the server.

    The marker says from now on that the file is open.
    """
    found = _found(begun)
    if found:
        with database.transaction():
            meta.renew_epoch()
    marker.note(begun.held, marker.Left(False, _last()))
    told = [f"The data file: {says}." for says in found] + ([RENEWED] if found else [])
    return told or ([FOUND_OK] if begun.is_to_check else [])


def end(begun: Begun) -> None:
    """Close the file: when everything is in it, the marker says so. A file that cannot be used is left as it is."""
    with suppress(Unavailable):
        database.connect()
        database.execute(f"PRAGMA busy_timeout = {LAST_WAIT_MS}")
        is_whole = database.forget_deleted()
        marker.note(begun.held, marker.Left(is_whole, _last()))
    database.close()
    marker.release(begun.held)


def _found(begun: Begun) -> list[str]:
    left = begun.held.left
    found = [LOG_DAMAGED] if begun.is_log_damaged else []
    if begun.held.is_alone and left and left.last > _last():
        found.append(WENT_BACK)
    return found + (_checked() if begun.is_to_check else [])


def _checked() -> list[str]:
    """Return what SQLite finds damaged, and how many records do not agree with the journal."""
    try:
        with database.reading():
            (report,) = database.execute("PRAGMA quick_check(1)").fetchone()
            found = [] if report == "ok" else [f"{NOT_WHOLE} ({report})"]
            counts = [(says, database.execute(sql).fetchone()[0]) for says, sql in COMPARED]
    except (DatabaseError, sqlite3.DatabaseError) as error:
        return [f"{NOT_WHOLE} ({error})"]
    return found + [says.format(count) for says, count in counts if count]


def _last() -> int:
    with database.reading():
        return int(database.execute("SELECT max(id) FROM journal").fetchone()[0] or 0)
