"""What the benches measure against: the same rows written straight into a SQLite file of the same schema.

The same rows are both that an operation leaves behind: its entry in the journal, and the record as it is now.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from webapp.store.sqlite import migrate

Rows = list[tuple[Any, ...]]


def bare_file(file: Path) -> sqlite3.Connection:
    """Return a file of the same schema, opened with nothing in between."""
    migrate.upgrade(file)
    target = sqlite3.connect(file, isolation_level=None)
    for pragma in ("journal_mode = wal", "synchronous = full"):
        target.execute(f"PRAGMA {pragma}")
    return target


def latest_rows(source: sqlite3.Connection, feed_id: int, count: int) -> tuple[Rows, Rows]:
    """Return the last entries of a feed's journal and its records that changed last, the oldest first."""
    journal = source.execute("SELECT * FROM journal WHERE feed_id = ? ORDER BY id DESC LIMIT ?", (feed_id, count))
    records = source.execute("SELECT * FROM record WHERE feed_id = ? ORDER BY seq DESC LIMIT ?", (feed_id, count))
    return journal.fetchall()[::-1], records.fetchall()[::-1]


def insert(
    target: sqlite3.Connection, journal: Rows, records: Rows, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Insert one batch in one transaction, with one prepared statement for each table, and return the seconds."""
    put = "INSERT INTO {} VALUES ({})"
    start = clock()
    target.execute("BEGIN IMMEDIATE")
    target.executemany(put.format("journal", ",".join("?" * len(journal[0]))), journal)
    target.executemany(put.format("record", ",".join("?" * len(records[0]))), records)
    target.execute("COMMIT")
    return clock() - start
