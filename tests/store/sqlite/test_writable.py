"""Whether a write would work is found out without writing, and in time for whoever watches the server."""

import sqlite3
import time
from contextlib import closing
from pathlib import Path

from webapp.store.sqlite import database
from webapp.store.sqlite.writable import obstacle

IN_TIME_S = 0.05


def quickest() -> tuple[float, str | None]:
    """Return the shortest time of five answers, in seconds, and the last answer: a shared machine makes some late."""
    times = []
    for _ in range(5):
        begun = time.perf_counter()
        found = obstacle()
        times.append(time.perf_counter() - begun)
    return min(times), found


def test_a_file_that_can_be_written_has_no_obstacle_and_gets_no_row(file: Path) -> None:
    obstacle()
    with closing(sqlite3.connect(file)) as other:
        before = other.execute("PRAGMA data_version").fetchone()
        taken_s, found = quickest()
        after = other.execute("PRAGMA data_version").fetchone()

    assert found is None
    assert taken_s < IN_TIME_S
    assert before == after
    assert [one.name for one in file.parent.iterdir()] == [file.name]


def test_a_file_that_another_program_writes_to_is_locked_and_that_is_told_in_time(file: Path) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        taken_s, found = quickest()

    assert found == "locked"
    assert taken_s < IN_TIME_S
    assert obstacle() is None


def test_a_file_that_is_gone_is_missing(file: Path) -> None:
    file.unlink()

    assert quickest()[1] == "missing"
    assert not file.exists()


def test_a_file_that_can_only_be_read_is_told_so(file: Path) -> None:
    database.database.init(f"{file.as_uri()}?mode=ro", uri=True)

    assert obstacle() == "read_only"
