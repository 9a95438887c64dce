"""Numbered migrations: all missing ones run in one transaction, after the file was copied.

TooNew       the file was written by a newer version of the app
FileChanged  a migration would leave rows that refer to missing rows
"""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from types import ModuleType
from typing import NamedTuple

from webapp.store.sqlite import migrations

HISTORY = "CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT"
WAIT_S = 30  # another process may be migrating


class TooNew(Exception):
    """The file has migrations that this version of the app does not know."""


class FileChanged(Exception):
    """After the migrations some row would refer to a row that does not exist."""


class Step(NamedTuple):
    """One migration: its number, its name, and the module whose `up(connection)` does it."""

    number: int
    name: str
    module: ModuleType


def steps() -> tuple[Step, ...]:
    """Return every migration of this version, in order; files are named m0001_first.py."""
    names = sorted(found.name for found in iter_modules(migrations.__path__))
    return tuple(Step(int(name[1:5]), name, import_module(f"{migrations.__name__}.{name}")) for name in names)


def upgrade(file: Path, known: Sequence[Step] | None = None) -> tuple[str, ...]:
    """Run the migrations that the file lacks and return their names; when one fails, the file is as it was.

    A file that has data is first copied beside itself, under the number of the first migration to run.
    """
    known = steps() if known is None else known
    with closing(sqlite3.connect(file, timeout=WAIT_S, isolation_level=None)) as connection:
        had = _applied(connection)
        _refuse_newer(had, known)
        missing = [step for step in known if step.number not in had]
        if missing and had:
            copy(connection, file.with_name(f"{file.name}.before-{missing[0].number:04d}"))
        if missing:
            _run(connection, known)
    return tuple(step.name for step in missing)


def copy(connection: sqlite3.Connection, to: Path) -> None:
    """Copy a whole database while others may be using it; only its owner may read the copy."""
    to.unlink(missing_ok=True)
    to.touch(mode=0o600)
    with closing(sqlite3.connect(to)) as target:
        connection.backup(target)


def _applied(connection: sqlite3.Connection) -> set[int]:
    if not connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'migration'").fetchone():
        return set()
    return {number for (number,) in connection.execute("SELECT number FROM migration")}


def _refuse_newer(had: set[int], known: Sequence[Step]) -> None:
    newer = had - {step.number for step in known}
    if newer:
        raise TooNew(f"this data file was written by a newer version (migration {max(newer)}): update the app")


def _run(connection: sqlite3.Connection, known: Sequence[Step]) -> None:
    connection.execute("PRAGMA foreign_keys = OFF")  # a table may be rebuilt; checked before the end
    with _all_or_nothing(connection):
        connection.execute(HISTORY)
        had = _applied(connection)  # read a second time: another process may have been first
        for step in known:
            if step.number not in had:
                step.module.up(connection)
                connection.execute("INSERT INTO migration VALUES (?, ?)", (step.number, step.name))
        if connection.execute("PRAGMA foreign_key_check").fetchone():
            raise FileChanged("a migration left rows that refer to missing rows; nothing was changed")


@contextmanager
def _all_or_nothing(connection: sqlite3.Connection) -> Iterator[None]:
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")
