"""Whole copies of the data file: back it up while it is in use, and restore a backup.

NoData         there is no file to copy, or it is not a data file of this app
marker.InUse   a server holds the file that a backup is to replace
"""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from uuid import uuid4

from webapp.store.sqlite import marker, migrate

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
    At every moment a whole file is in the place: the old one, or the restored one. Raises NoData, marker.InUse, or
    migrate.TooNew when a newer version of the app has written the backup.
    """
    if not backup.exists():
        raise NoData(f"there is no backup {backup}")
    file.parent.mkdir(parents=True, exist_ok=True)
    with marker.unused(file):
        try:
            part = _restored(backup, file)
            kept = _set_aside(file) if file.exists() else None
            os.replace(part, file)
        finally:
            for left in file.parent.glob(f".{file.name}.*.part*"):  # also of a restore that was killed
                left.unlink()
    return kept


def _restored(backup: Path, file: Path) -> Path:
    """Return a copy of the backup beside the data file, ready to take its place."""
    part = _beside(file)
    _check(backup)
    _copy(backup, part)
    migrate.upgrade(part)
    _renew(part)
    return part


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
    """Give the data file a second name that is free; it stays in its place until another one takes it."""
    number = 1
    while (kept := file.with_name(f"{file.name}.replaced-{number}")).exists():
        number += 1
    _fold_in(file)
    try:
        os.link(file, kept)
    except OSError:  # a file system without second names
        shutil.copy2(file, kept)
    for end in SIDE_FILES:
        if (side := file.with_name(file.name + end)).exists():
            os.replace(side, kept.with_name(kept.name + end))
    return kept


def _fold_in(file: Path) -> None:
    """Fold the write-ahead log into its file: beside another file it would damage that one. Raises marker.InUse."""
    try:
        with closing(sqlite3.connect(file, timeout=1)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
            raise marker.InUse(f"another program has {file} open: stop it first") from error
    except sqlite3.DatabaseError:
        pass  # too damaged to be read: its log goes with it as it is
