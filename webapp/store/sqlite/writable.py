"""Whether a write would work now, found out without writing a row: the right to write is taken, and room looked for."""

import os
import sqlite3
from pathlib import Path
from uuid import uuid4

from webapp.store.sqlite import database
from webapp.store.sqlite.unavailable import Unavailable, as_unavailable, code_of

WAIT_MS = 20  # whoever watches the server wants an answer in 50
ROOM = bytes(64 * 1024)  # about what a batch of a hundred dives needs
WHY = {
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_CANTOPEN: "missing",
    sqlite3.SQLITE_FULL: "full",
}


def obstacle() -> str | None:
    """Return what would keep a write from working now: locked, read_only, missing, full or broken; else None."""
    try:
        with as_unavailable():
            file = _take_the_right()
    except Unavailable as error:
        return WHY.get(code_of(error), "broken")
    if not file.exists():
        return "missing"
    return None if _has_room(file) else "full"


def _take_the_right() -> Path:
    """Take the right to write and give it back; return the open file."""
    database.connect()
    try:
        database.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
        database.execute("BEGIN IMMEDIATE")
        database.execute("ROLLBACK")
        return Path(database.execute("PRAGMA database_list").fetchone()[2])
    finally:
        database.close()  # the next one that uses this thread waits as long as it needs


def _has_room(file: Path) -> bool:
    """Write a nameless file beside the data file."""
    probe = file.with_name(f".{file.name}.{uuid4().hex}.room")
    try:
        handle = os.open(probe, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            probe.unlink()
            return os.write(handle, ROOM) == len(ROOM)
        finally:
            os.close(handle)
    except OSError:
        return False
