"""What most tests of the shore begin with, made once by a person and then copied: a data file, and who is signed in."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any, NamedTuple
from uuid import uuid4

from flask.testing import FlaskClient

KEY = ".key"
CHEAP = "scrypt:1024:8:1"  # a hash of a password in tests: the real one is slow on purpose
# The app keeps logs in memory under the epoch of their file: each copy is another file, and has another one.
NEW_EPOCH = "UPDATE meta SET value = ? WHERE name = 'epoch'"


class Begun(NamedTuple):
    """A data file that nobody has open, its key, and the cookies of whoever made it."""

    file: Path
    cookies: dict[str, str]

    def copy_to(self, file: Path) -> None:
        """Begin there; the key goes along, as the cookies are signed with it."""
        shutil.copy(self.file, file)
        with closing(sqlite3.connect(file)) as connection, connection:
            connection.execute("PRAGMA synchronous = OFF")
            connection.execute(NEW_EPOCH, (uuid4().hex,))
        key = Path(f"{self.file}{KEY}")
        if key.exists():
            shutil.copy(key, f"{file}{KEY}")

    def sign_in(self, client: FlaskClient) -> None:
        """Give a browser the cookies."""
        for name, value in self.cookies.items():
            client.set_cookie(name, value)


def kept(file: Path, to: Path, client: FlaskClient | None = None) -> Begun:
    """Keep a copy of this data file as it is now, and the cookies of this browser; without one, not even the key."""
    assert not Path(f"{file}-wal").exists(), "somebody has the file open"
    to.mkdir()
    shutil.copy(file, to / file.name)
    if client is None:
        return Begun(to / file.name, {})
    shutil.copy(f"{file}{KEY}", f"{to / file.name}{KEY}")
    return Begun(to / file.name, _cookies(client))


def _cookies(client: FlaskClient) -> dict[str, str]:
    held: dict[Any, Any] = client._cookies  # the jar has no reader of its own
    return {cookie.decoded_key: cookie.decoded_value for cookie in held.values()}
