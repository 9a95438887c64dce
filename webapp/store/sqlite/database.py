"""The data file: one connection for each thread, writes in immediate transactions."""

import os
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from threading import Event, local
from typing import Any

from webapp.store.sqlite import marker, migrate
from webapp.store.sqlite.lending import LentConnections
from webapp.store.sqlite.turns import Turns
from webapp.store.sqlite.unavailable import Unavailable, as_unavailable

BUSY_S = 5  # how long a writer waits for another one; after that the phone sends again

WRITING = "IMMEDIATE"

_this_thread, _turns = local(), Turns()
_to_forget = Event()  # deleted data is still in the write-ahead log, because somebody was reading
database = LentConnections()

PRAGMAS = {
    "journal_mode": "wal",
    "synchronous": "full",  # with less, a power cut may lose what a phone was told is stored
    "foreign_keys": 1,
    "secure_delete": 1,  # what is deleted or replaced is overwritten: a log tells about health
    "busy_timeout": BUSY_S * 1000,
}


def open_store(path: str | os.PathLike[str]) -> None:
    """Upgrade the file to the newest schema, or create it, and use it from now on.

    Raises migrate.TooNew when a newer version of the app has written it, marker.Vanished when it is missing although a
    server has held it before.
    """
    file = Path(path)
    marker.refuse_vanished(file)
    marker.make_private(file)
    migrate.upgrade(file)
    close()
    database.use(file, PRAGMAS, BUSY_S)


def transaction() -> AbstractContextManager[None]:
    """Return the context of one immediate transaction; inside another one, a savepoint. Raises Unavailable.

    Immediate: the right to write is taken before anything is read, so that what was read is still true.
    """
    return _begun(WRITING)


def reading() -> AbstractContextManager[None]:
    """Return the context of one reading transaction: it sees the file as it is at one moment and delays no writer."""
    return _begun("DEFERRED")


@contextmanager
def _begun(how: str) -> Iterator[None]:
    try:
        with as_unavailable():
            connect()
            if database.in_transaction():
                with database.atomic():
                    yield
                return
            with _turn(how), database.atomic(how):
                yield
    except BaseException:
        database.distrust()
        raise


@contextmanager
def _turn(how: str) -> Iterator[None]:
    """Wait in line before a writing transaction; other processes are left to SQLite."""
    _this_thread.is_writing = how == WRITING
    if how != WRITING:
        yield
        return
    if not _turns.take(BUSY_S):
        raise Unavailable("other writers took too long")
    try:
        yield
    finally:
        _turns.end()


def is_writing() -> bool:
    """Tell whether this thread's transaction may hold what is not committed."""
    return database.in_transaction() and bool(getattr(_this_thread, "is_writing", False))


def execute(sql: str, values: Sequence[object] = ()) -> Any:
    """Run one statement and return its cursor."""
    return database.cursor().execute(sql, values)  # type: ignore[no-untyped-call]  # without Peewee's hooks in between


def execute_many(sql: str, rows: Sequence[Sequence[object]]) -> None:
    """Run one statement for each row."""
    database.connection().executemany(sql, rows)  # type: ignore[no-untyped-call]


def forget_deleted(longest_s: float = BUSY_S) -> bool:
    """Fold the write-ahead log into the file and empty it: it may still contain deleted data.

    Returns whether that was possible: another connection may be using the log. Then each request tries again.
    """
    with as_unavailable():
        connect()
        execute(f"PRAGMA busy_timeout = {int(longest_s * 1000)}")
        (is_busy, _, _) = execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        execute(f"PRAGMA busy_timeout = {PRAGMAS['busy_timeout']}")
    (_to_forget.set if is_busy else _to_forget.clear)()
    return not is_busy


def fits(number: int) -> bool:
    """Tell whether an id from outside can exist here: SQLite's integers end at 64 bits."""
    return 0 < number < 2**63


def connect() -> None:
    """Give this thread its connection, if it has none."""
    database.connect(reuse_if_open=True)


def close() -> None:
    """Close this thread's connection, if it has one."""
    if not database.is_closed():
        database.close()


def init_app(app: Any) -> None:
    """Open the file that the app's settings name, and close each request's connection after it."""
    open_store(app.config["DATA_FILE"])
    app.teardown_request(_end_request)


def _end_request(error: BaseException | None) -> None:
    """Close this thread's connection; what could not be forgotten before may be forgotten now."""
    if _to_forget.is_set():
        with suppress(Unavailable):
            forget_deleted(longest_s=0)
    close()
