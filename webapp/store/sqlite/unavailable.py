"""Turns SQLite errors that may pass by themselves into Unavailable; an error in the SQL stays as it is."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

PASSING = {
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN,
}
PRIMARY = 0xFF  # the low byte of an extended code is the code itself


class Unavailable(Exception):
    """The file cannot be used for now: another writer has it locked for too long, the disk is full, or it fails."""


@contextmanager
def as_unavailable() -> Iterator[None]:
    """Raise Unavailable for errors that may pass by themselves; nothing of the transaction is kept then."""
    try:
        yield
    except Unavailable:
        raise
    except Exception as error:
        if code_of(error):
            raise Unavailable(str(error)) from error
        raise


def code_of(error: BaseException | None) -> int:
    """Return SQLite's code of an error that may pass by itself, 0 when it is none.

    Errors behind it count too: Peewee wraps errors, and a full disk ends a transaction before its rollback.
    """
    while error is not None:
        code = int(getattr(error, "sqlite_errorcode", 0)) & PRIMARY
        if code in PASSING:
            return code
        error = error.__context__
    return 0
