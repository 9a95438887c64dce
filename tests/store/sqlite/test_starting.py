"""A server that begins with a data file which the last one did not close: what is missing is found, and told."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from random import Random

import pytest
from support.phones import NOW, Phone

from webapp import store
from webapp.actions import sync
from webapp.store import meta, users
from webapp.store.sqlite import marker, starting

BATCHES, DIVES = 4, 12


@pytest.fixture
def killed(tmp_path: Path) -> Iterator[Path]:
    """A data file as a killed server leaves it: the last batches are in its write-ahead log only."""
    live, copy = tmp_path / "live" / "lineslate.sqlite3", tmp_path / "killed" / "lineslate.sqlite3"
    begun = starting.begin(live)
    store.open_store(live)
    starting.look(begun)
    with store.transaction():
        user_id = users.add_user("Runa", "runa", "none", "t").id
    store.close()
    copy.parent.mkdir()
    with closing(sqlite3.connect(live)) as keeps_the_log:
        keeps_the_log.execute("SELECT count(*) FROM meta").fetchone()
        for _ in range(BATCHES):
            phone = Phone()
            for _ in range(DIVES):
                phone.put()
            sync.sync(user_id, phone.request(), NOW)
            store.close()
        for end in ("", "-wal", marker.END):
            shutil.copy(f"{live}{end}", f"{copy}{end}")
    marker.release(begun.held)
    yield copy
    store.close()


def start(file: Path) -> list[str]:
    """Let a server begin with this file; return what it tells."""
    begun = starting.begin(file)
    store.open_store(file)
    told = starting.look(begun)
    marker.release(begun.held)
    return told


def stands(file: Path) -> tuple[int, str]:
    """Return how many dives the open file has, and its epoch."""
    with store.reading():
        count = store.sqlite.database.execute("SELECT count(*) FROM record").fetchone()[0]
        return int(count), meta.epoch()


def epoch_of(file: Path) -> str:
    with closing(sqlite3.connect(f"{file.as_uri()}?immutable=1", uri=True)) as connection:
        return str(connection.execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])


def test_a_file_that_was_not_closed_is_checked_and_keeps_its_epoch_when_nothing_is_missing(killed: Path) -> None:
    before = epoch_of(killed)

    assert start(killed) == [starting.FOUND_OK]
    assert stands(killed) == (BATCHES * DIVES, before)


def test_whatever_bit_of_the_write_ahead_log_is_flipped_no_dive_is_missing_under_the_same_epoch(
    killed: Path, tmp_path: Path
) -> None:
    chance, before, lost = Random("bits"), epoch_of(killed), 0
    length = (killed.parent / f"{killed.name}-wal").stat().st_size
    for at in [*range(0, 56, 3), *(chance.randrange(length) for _ in range(40))]:
        folder = tmp_path / f"flip{at}"
        shutil.copytree(killed.parent, folder)
        log = folder / f"{killed.name}-wal"
        data = bytearray(log.read_bytes())
        data[at] ^= 1 << chance.randrange(8)
        log.write_bytes(data)
        told = start(folder / killed.name)
        count, epoch = stands(folder / killed.name)
        assert count == BATCHES * DIVES or (epoch != before and starting.RENEWED in told), at
        lost += count < BATCHES * DIVES
        store.close()
    assert lost > 20, "the log holds what was acknowledged"


def test_a_log_that_was_cut_short_in_the_middle_of_a_commit_gets_a_new_epoch(killed: Path) -> None:
    log = killed.parent / f"{killed.name}-wal"
    log.write_bytes(log.read_bytes()[:-100])
    before = epoch_of(killed)

    assert start(killed)[-1] == starting.RENEWED
    assert stands(killed)[1] != before


def test_a_record_that_is_older_than_the_journal_says_is_counted_and_the_epoch_is_new(killed: Path) -> None:
    with closing(sqlite3.connect(killed)) as connection, connection:
        connection.execute("DELETE FROM record WHERE seq < 4")
        connection.execute("UPDATE record SET rev = 0 WHERE seq = 5")
    before = epoch_of(killed)

    told = start(killed)

    assert "4 records are older than the journal says" in told[0]
    assert stands(killed)[1] != before


def test_a_damaged_page_is_told_with_what_to_do_and_the_epoch_is_new(killed: Path) -> None:
    with closing(sqlite3.connect(killed)) as connection:
        (page,) = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'season_user'").fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    data, before = bytearray(killed.read_bytes()), epoch_of(killed)
    data[(page - 1) * size : (page - 1) * size + 8] = b"\xff" * 8
    killed.write_bytes(data)

    told = start(killed)

    assert starting.NOT_WHOLE in told[0]
    assert stands(killed)[1] != before


def test_an_older_copy_in_the_place_of_a_file_that_was_closed_properly_is_noticed_at_the_start(killed: Path) -> None:
    older = killed.read_bytes()  # without the log, as copied by somebody who does not know of it
    begun = starting.begin(killed)
    store.open_store(killed)
    starting.look(begun)
    starting.end(begun)
    before = epoch_of(killed)
    killed.write_bytes(older)

    told = start(killed)

    assert told == [f"The data file: {starting.WENT_BACK}.", starting.RENEWED]
    assert stands(killed)[1] != before


def test_a_file_that_was_closed_properly_is_not_checked_again(killed: Path) -> None:
    begun = starting.begin(killed)
    store.open_store(killed)
    starting.look(begun)
    starting.end(begun)

    assert not (killed.parent / f"{killed.name}-wal").exists()
    assert start(killed) == []


def test_a_second_server_beside_the_first_checks_nothing_and_leaves_the_marker_alone(killed: Path) -> None:
    first = starting.begin(killed)
    second = starting.begin(killed)

    assert (first.is_to_check, second.is_to_check) == (True, False)
    for begun in (first, second):
        marker.release(begun.held)
