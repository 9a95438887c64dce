"""Connections to the data file, lent to threads: opening one takes longer than most of what is asked of it.

One that is given back is kept for the next thread while any other is out, as a server's own is from its start to its
end. The last one to come back closes them all: then the file is whole by itself, and SQLite has taken its log away.
"""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple
from weakref import WeakSet

from peewee import SqliteDatabase, sqlite3  # type: ignore[attr-defined]  # the module that Peewee itself took


class Named(NamedTuple):
    """Which file stands in a place: another one that is put there has another number."""

    device: int
    number: int


class Lent(sqlite3.Connection):  # type: ignore[misc]
    """A connection to one file; it is not lent again once something has failed in it."""

    named: Named | None = None
    is_sound = True

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._cursors = WeakSet[sqlite3.Cursor]()

    def cursor(self, *given: Any, **named: Any) -> sqlite3.Cursor:
        """Return a cursor; `execute` makes its own by this too."""
        made = super().cursor(*given, **named)
        self._cursors.add(made)
        return made

    def end_reading(self) -> None:
        """End what somebody left half read: it holds the connection to the file as it was then, and its log whole."""
        for cursor in list(self._cursors):
            cursor.close()
        self._cursors.clear()


class LentConnections(SqliteDatabase):
    """Peewee's database, which opens and closes each thread's connection by these methods, under one lock."""

    def __init__(self) -> None:
        self._file, self._patience_ms = Path(), 0
        self._out, self._kept = WeakSet[Lent](), list[Lent]()
        super().__init__(None, autoconnect=False)

    def use(self, file: Path, pragmas: Mapping[str, object], timeout_s: int) -> None:
        """Use this file from now on; one that vanishes must not come back empty."""
        self._file, self._patience_ms = file.resolve(), 1000 * timeout_s
        place = f"{self._file.as_uri()}?mode=rw"
        self.init(place, uri=True, factory=Lent, check_same_thread=False, pragmas=pragmas, timeout=timeout_s)

    def distrust(self) -> None:
        """Close this thread's connection when it is given back: something has failed in it."""
        if not self.is_closed():
            self.connection().is_sound = False  # type: ignore[no-untyped-call]

    def _connect(self) -> Lent:
        """Lend a connection to the file that stands in the place now."""
        named = _named(self._file)
        lent = self._kept_one(named) or super()._connect()  # type: ignore[misc]
        lent.named = named
        self._out.add(lent)
        return lent

    def _kept_one(self, named: Named | None) -> Lent | None:
        """Return a kept connection to this file, or None; those to another file are closed."""
        while self._kept:
            lent = self._kept.pop()
            if named is not None and lent.named == named:
                lent.execute(f"PRAGMA busy_timeout = {self._patience_ms}")  # some who borrow it shorten it
                return lent
            lent.close()
        return None

    def _close(self, lent: Lent) -> None:
        """Take a connection back."""
        self._out.discard(lent)
        if self._out and lent.named and lent.is_sound and not lent.in_transaction:
            lent.end_reading()
            self._kept.append(lent)
            return
        lent.close()
        while self._kept and not self._out:
            self._kept.pop().close()


def _named(file: Path) -> Named | None:
    try:
        found = os.stat(file)
    except OSError:
        return None
    return Named(found.st_dev, found.st_ino)
