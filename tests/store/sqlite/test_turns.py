"""Writers take turns in the order in which they asked, and nobody waits for longer than the line is."""

from __future__ import annotations

import time
from pathlib import Path
from threading import Event, Thread

import pytest

from webapp import store
from webapp.store.sqlite import database
from webapp.store.sqlite.turns import Turns


def until(holds: object) -> None:
    ends = time.monotonic() + 20
    while not holds():  # type: ignore[operator]
        assert time.monotonic() < ends
        time.sleep(0.001)


def test_turns_come_in_the_order_of_asking() -> None:
    turns, order = Turns(), list[int]()
    assert turns.take(1)

    def one(number: int) -> None:
        assert turns.take(20)
        order.append(number)
        turns.end()

    threads = [Thread(target=one, args=(number,)) for number in range(12)]
    for number, thread in enumerate(threads):
        thread.start()
        until(lambda number=number: turns.waiting() == number + 1)
    turns.end()
    for thread in threads:
        thread.join()
    assert order == list(range(12))
    assert turns.take(0)


def test_whoever_gives_up_leaves_the_line() -> None:
    turns = Turns()
    assert turns.take(1)
    assert not turns.take(0.01)
    assert turns.waiting() == 0
    turns.end()
    assert turns.take(0)


def test_a_writer_without_a_break_keeps_no_other_out(tmp_path: Path) -> None:
    store.open_store(tmp_path / "lineslate.sqlite3")
    told, rounds = Event(), list[int]()

    def without_a_break() -> None:
        while not told.is_set():
            with store.transaction():
                database.execute("UPDATE meta SET value = value")
                time.sleep(0.02)  # as long as a large batch takes
            rounds.append(1)
        store.close()

    thread = Thread(target=without_a_break)
    thread.start()
    until(lambda: len(rounds) > 3)
    between = []
    for _ in range(8):
        before = len(rounds)
        with store.transaction():
            between.append(len(rounds) - before)
    told.set()
    thread.join()
    store.close()
    assert max(between) <= 2


def test_a_turn_that_does_not_come_is_told_as_unavailable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store.open_store(tmp_path / "lineslate.sqlite3")
    monkeypatch.setattr(database, "BUSY_S", 0.01)
    holding, told = Event(), Event()

    def hold() -> None:
        with store.transaction():
            holding.set()
            told.wait(20)
        store.close()

    thread = Thread(target=hold)
    thread.start()
    holding.wait(20)
    with pytest.raises(store.Unavailable), store.transaction():
        pass
    told.set()
    thread.join()
    store.close()
