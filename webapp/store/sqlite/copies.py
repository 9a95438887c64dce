"""Whole copies of the data file: back it up while it is in use, and restore a backup.

NoData   there is no file to copy, or it is not a data file of this app
"""

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from uuid import uuid4

from webapp.store.sqlite import migrate

OURS = {"migration", "meta", "user", "record", "journal"}
SIDE_FILES = ("-wal", "-shm")


class NoData(Exception):
    """This is not a data file of this app, or it is damaged."""


def back_up(file: Path, to: Path) -> None:
    """Copy the data file as it is at one moment, even while others write; the copy is complete or does not exist.

    Raises FileExistsError when a file of that name exists, NoData when there is nothing to copy.
    """
    if not file.exists():
        raise NoData(f"there is no data file {file}")
    if to.exists():
        raise FileExistsError(f"{to} already exists: choose another name")
    part = _beside(to)
    try:
        _copy(file, part)
        _check(part)
        os.link(part, to)  # fails when another process was faster; a rename would overwrite
    finally:
        part.unlink(missing_ok=True)


def restore(backup: Path, file: Path) -> Path | None:
    """Replace the data file with a backup and give it a new epoch; return where the old file is kept beside it.

    The backup is checked, copied and upgraded to the newest schema first: when anything is wrong, nothing is changed.
    Raises NoData, or migrate.TooNew when a newer version of the app has written it.
    """
    if not backup.exists():
        raise NoData(f"there is no backup {backup}")
    file.parent.mkdir(parents=True, exist_ok=True)
    part = _beside(file)
    try:
        _check(backup)
        _copy(backup, part)
        migrate.upgrade(part)
        _renew(part)
        kept = _set_aside(file) if file.exists() else None
        os.replace(part, file)
    finally:
        for left in part.parent.glob(f"{part.name}*"):
            left.unlink()
    return kept


def _beside(file: Path) -> Path:
    return file.with_name(f".{file.name}.{uuid4().hex}.part")


def _copy(file: Path, to: Path) -> None:
    with closing(sqlite3.connect(file, timeout=migrate.WAIT_S)) as connection:
        migrate.copy(connection, to)
    with closing(sqlite3.connect(to)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")  # one file with everything in it


def _check(file: Path) -> None:
    """Raise NoData unless SQLite finds the file undamaged and it has our tables."""
    try:
        with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            report = [text for (text,) in connection.execute("PRAGMA integrity_check(1)")]
            names = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    except sqlite3.DatabaseError as error:
        raise NoData(f"{file} cannot be read: {error}") from error
    if report != ["ok"]:
        raise NoData(f"{file} is damaged: {report[0]}")
    if not names >= OURS:
        raise NoData(f"{file} is not a data file of this app")


def _renew(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute("UPDATE meta SET value = ? WHERE name = 'epoch'", (uuid4().hex,))


def _set_aside(file: Path) -> Path:
    """Move the data file with its side files to a name that is free."""
    number = 1
    while (kept := file.with_name(f"{file.name}.replaced-{number}")).exists():
        number += 1
    os.replace(file, kept)
    for end in SIDE_FILES:
        if (side := file.with_name(file.name + end)).exists():
            os.replace(side, kept.with_name(kept.name + end))
    return kept
