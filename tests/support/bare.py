"""What the benches measure against: the same journal rows written straight into a SQLite file."""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path
from typing import Any

from webapp.store.sqlite import migrate


def bare_file(file: Path) -> sqlite3.Connection:
    """Return a file of the same schema, opened with nothing in between."""
    migrate.upgrade(file)
    target = sqlite3.connect(file, isolation_level=None)
    for pragma in ("journal_mode = wal", "synchronous = full"):
        target.execute(f"PRAGMA {pragma}")
    return target


def insert(target: sqlite3.Connection, rows: list[Any]) -> float:
    """Insert one batch row by row in one transaction, and return the seconds."""
    put = f"INSERT INTO journal VALUES ({','.join('?' * len(rows[0]))})"  # noqa: S608 - only place holders
    start = time.perf_counter()
    target.execute("BEGIN IMMEDIATE")
    for row in rows:
        target.execute(put, row)
    target.execute("COMMIT")
    return time.perf_counter() - start
