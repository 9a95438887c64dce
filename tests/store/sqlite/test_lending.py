"""Connections are kept while others are busy, and only then; each is to the file that stands in the place."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

from webapp import store
from webapp.store import users
from webapp.store.sqlite import migrate, writable
from webapp.store.sqlite.database import database, execute


@contextmanager
def somebody_busy() -> Iterator[None]:
    """Let another thread have a connection to the file meanwhile."""
    begun, told = threading.Event(), threading.Event()

    def work() -> None:
        with store.reading():
            users.count_users()
            begun.set()
            told.wait(20)
        store.close()

    thread = threading.Thread(target=work)
    thread.start()
    assert begun.wait(20)
    try:
        yield
    finally:
        told.set()
        thread.join()


def one_request(ask: Callable[[], Any] = users.count_users) -> Any:
    """Do one thing as a request does, in a thread of its own; return its connection, what was answered, or what failed.

    The connection itself is returned, so that no other can be taken for it.
    """
    told: list[Any] = []

    def work() -> None:
        try:
            with store.reading():
                told.append(database.connection())
                told.append(ask())
        except Exception as error:
            told.append(error)
        store.close()

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    return told


def is_open(connection: sqlite3.Connection) -> bool:
    try:
        connection.execute("SELECT 1")
    except sqlite3.ProgrammingError:
        return False
    return True


def names_in(file: Path) -> list[str]:
    return sorted(one.name for one in file.parent.iterdir())


def put_another(file: Path) -> None:
    """Put another file with one diver in the place of this one, whole by itself."""
    other = file.with_name("other")
    migrate.upgrade(other)
    with closing(sqlite3.connect(other)) as connection, connection:
        connection.execute("INSERT INTO user VALUES (1, 'Ivo', 'ivo', '', '', 0)")
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    os.replace(other, file)


def test_while_others_are_busy_a_connection_that_was_given_back_is_lent_again(file: Path) -> None:
    with somebody_busy():
        first, _ = one_request()
        again, _ = one_request()

        assert again is first


def test_when_the_last_one_is_done_every_connection_is_closed_and_the_file_is_whole_by_itself(file: Path) -> None:
    with somebody_busy():
        with store.transaction():
            users.add_user("Runa", "runa", "x", "t")
        store.close()
        kept, _ = one_request()
        assert f"{file.name}-wal" in names_in(file)

    assert not is_open(kept)
    assert names_in(file) == [file.name]


def test_a_file_that_takes_the_others_place_is_the_one_that_is_read_from_then_on(file: Path) -> None:
    with somebody_busy():
        before, count = one_request()
        assert count == 0
        put_another(file)

        after, count = one_request()

        assert count == 1
        assert after is not before
        assert not is_open(before)


def test_a_file_that_is_gone_is_neither_read_on_nor_made_anew(file: Path) -> None:
    with somebody_busy():
        one_request()
        file.unlink()

        (error,) = one_request()

    assert isinstance(error, store.Unavailable)
    assert not file.exists()


def test_a_connection_in_which_something_failed_is_not_lent_again(file: Path) -> None:
    with somebody_busy():
        failed, error = one_request(lambda: 1 / 0)
        assert isinstance(error, ZeroDivisionError)

        after, _ = one_request()

        assert after is not failed
        assert not is_open(failed)


def test_a_connection_that_is_given_back_amid_a_transaction_is_not_lent_again(file: Path) -> None:
    with somebody_busy():
        store.sqlite.database.connect()
        amid = database.connection()
        execute("BEGIN IMMEDIATE")
        store.close()

        after, _ = one_request()

        assert after is not amid
        assert not is_open(amid)


def test_what_somebody_left_half_read_holds_nobody_after_it_to_an_older_state_of_the_file(file: Path) -> None:
    """The connection would stay in that state: what is newer is not seen, and nothing can be written."""
    with store.transaction():
        for name in ("Runa", "Ivo"):
            users.add_user(name, name.lower(), "x", "t")
    left: list[sqlite3.Cursor] = []

    def read_half() -> None:
        left.append(execute("SELECT id FROM user"))
        assert left[0].fetchone()

    def write_and_count() -> int:
        execute("UPDATE user SET utc_offset_min = 1")
        return users.count_users()

    with somebody_busy():
        half, _ = one_request(read_half)
        with store.transaction():
            users.add_user("Nuno", "nuno", "x", "t")

        after, count = one_request(write_and_count)

    assert (after is half, count) == (True, 3)


def test_whoever_asks_impatiently_makes_nobody_after_it_impatient(file: Path) -> None:
    with somebody_busy():
        assert writable.obstacle() is None

        _, (patience_ms,) = one_request(lambda: execute("PRAGMA busy_timeout").fetchone())

        assert patience_ms == 5000


def test_many_threads_at_once_lose_nothing_and_leave_nothing_open(file: Path) -> None:
    with store.transaction():
        runa = users.add_user("Runa", "runa", "x", "t").id
    store.close()

    def work() -> None:
        for _ in range(20):
            with store.transaction():
                execute("UPDATE user SET utc_offset_min = utc_offset_min + 1 WHERE id = ?", (runa,))
            store.close()

    threads = [threading.Thread(target=work) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert names_in(file) == [file.name]
    with store.reading():
        assert users.get_user(runa).utc_offset_min == 80  # type: ignore[union-attr]


@pytest.fixture(autouse=True)
def nothing_open(file: Path) -> Iterator[None]:
    """Begin with no connection of this thread, and leave none to the next test."""
    store.close()
    yield
    store.close()
