import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from webapp import store
from webapp.protocol.values import Record
from webapp.store import records, users
from webapp.store.sqlite.database import execute


def dive(name: str = "a", **changes: object) -> Record:
    plain = {
        "kind": "dive",
        "record": name,
        "fields": {"reached_m": 40},
        "revs": {"reached_m": 1},
        "writers": {"1": "d"},
    }
    return Record(**{**plain, "rev": 1, "deleted": False, **changes})  # type: ignore[arg-type]


def put_and_fail(user_id: int, one: Record) -> None:
    with store.transaction():
        records.put_records(user_id, [one])
        raise ZeroDivisionError


@pytest.fixture
def runa(file: Path) -> int:
    with store.transaction():
        return users.add_user("Runa", "runa", "x", "2031-04-01T08:00:00Z").id


@pytest.mark.parametrize(
    ("pragma", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 5000)]
)
def test_the_file_is_opened_so_that_a_power_cut_takes_nothing_back(file: Path, pragma: str, value: object) -> None:
    with store.reading():
        assert (value,) == execute(f"PRAGMA {pragma}").fetchone()


def test_the_file_and_its_side_files_are_for_their_owner_only(file: Path, runa: int) -> None:
    with store.transaction():
        users.set_password(runa, "y")
        rights = {one.name: one.stat().st_mode & 0o777 for one in file.parent.iterdir()}

    assert {f"{file.name}{end}": 0o600 for end in ("", "-wal", "-shm")} == rights


def test_a_transaction_that_fails_leaves_nothing(file: Path, runa: int) -> None:
    with pytest.raises(ZeroDivisionError):
        put_and_fail(runa, dive())

    with store.reading():
        assert records.changes(runa, 0, 10) == []
        assert records.last_number(runa) == 0


def test_an_inner_transaction_that_fails_leaves_the_outer_one_whole(file: Path, runa: int) -> None:
    with store.transaction():
        records.put_records(runa, [dive("a")])
        with pytest.raises(ZeroDivisionError):
            put_and_fail(runa, dive("b"))

    with store.reading():
        assert [one.record for one in records.changes(runa, 0, 10)] == ["a"]


def test_a_writer_takes_its_turn_before_it_reads(file: Path) -> None:
    with (
        store.transaction(),
        closing(sqlite3.connect(file, timeout=0)) as other,
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("BEGIN IMMEDIATE")


def test_a_reader_holds_up_no_writer_and_sees_one_moment(file: Path, runa: int) -> None:
    with store.reading():
        assert records.last_number(runa) == 0
        with closing(sqlite3.connect(file, timeout=0)) as other, other:
            other.execute("UPDATE feed SET seq = 7")
        assert records.last_number(runa) == 0


def test_change_numbers_are_never_given_twice_to_writers_at_once(file: Path, runa: int) -> None:
    def write(name: str) -> None:
        for at in range(20):
            with store.transaction():
                records.put_records(runa, [dive(f"{name}{at}")])
        store.close()

    writers = [threading.Thread(target=write, args=(name,)) for name in "abc"]
    for one in writers:
        one.start()
    for one in writers:
        one.join()

    with store.reading():
        assert list(range(1, 61)) == [one.seq for one in records.changes(runa, 0, 100)]


def test_a_changed_record_moves_to_the_end_of_the_feed(file: Path, runa: int) -> None:
    with store.transaction():
        records.put_records(runa, [dive("a"), dive("b")])
        records.put_records(runa, [dive("a", rev=2)])
        feed = records.changes(runa, 1, 10)

    assert [(one.record, one.seq, one.rev) for one in feed] == [("b", 2, 1), ("a", 3, 2)]


def test_two_divers_may_have_records_of_the_same_name(file: Path, runa: int) -> None:
    with store.transaction():
        other = users.add_user("Ivo", "ivo", "x", "t").id
        records.put_records(runa, [dive("a", fields={"note": "Runa's"})])
        records.put_records(other, [dive("a", fields={"note": "Ivo's"})])

    with store.reading():
        assert records.get_records(runa, ["a"])["a"].fields == {"note": "Runa's"}
        assert records.whole_log(other) == [{"id": "a", "kind": "dive", "note": "Ivo's"}]


def test_text_that_no_file_system_likes_comes_back_as_it_was(file: Path, runa: int) -> None:
    note = "\ud800 half a pair, \x1f a control, \U0001f41f a fish"
    with store.transaction():
        records.put_records(runa, [dive(fields={"note": note})])
        assert note == records.whole_log(runa)[0]["note"]


def test_deleting_a_diver_deletes_everything_of_theirs(file: Path, runa: int) -> None:
    with store.transaction():
        records.put_records(runa, [dive()])
        users.add_sign_in(runa, "h", "t")
        users.note_phone(runa, "d", 0, "t")
        users.delete_user(runa)

    with closing(sqlite3.connect(file)) as connection:
        tables = [
            name
            for (name,) in connection.execute(
                "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
            )
        ]
        left = {name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in tables}  # noqa: S608
    assert {"migration", "meta"} == {name for name, count in left.items() if count}
