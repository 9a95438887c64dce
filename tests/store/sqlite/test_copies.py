"""Backups: whole, made while others write, never over another file; and the way back."""

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from webapp import store
from webapp.store import meta, users
from webapp.store.sqlite import copies
from webapp.store.sqlite.copies import NoData
from webapp.store.sqlite.database import execute
from webapp.store.sqlite.migrate import TooNew


def names(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return [name for (name,) in connection.execute("SELECT name FROM user ORDER BY id")]


def epoch(file: Path) -> str:
    with closing(sqlite3.connect(file)) as connection:
        return str(connection.execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])


def add(name: str) -> None:
    with store.transaction():
        users.add_user(name, name.casefold(), "x", "t")


def test_a_backup_holds_what_is_written_though_the_file_is_open_and_is_for_its_owner_only(
    file: Path, tmp_path: Path
) -> None:
    add("Runa")
    copies.back_up(file, tmp_path / "kept")

    assert names(tmp_path / "kept") == ["Runa"]
    assert (tmp_path / "kept").stat().st_mode & 0o777 == 0o600
    assert [one.name for one in tmp_path.iterdir() if one.is_file()] == ["kept"]


def test_a_backup_made_while_others_write_is_one_moment(file: Path, tmp_path: Path) -> None:
    ended = threading.Event()

    def write() -> None:
        number = 0
        while not ended.is_set():
            with store.transaction():
                for part in "ab":
                    users.add_user(f"{number}{part}", f"{number}{part}", "x" * 3000, "t")
            number += 1
        store.close()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for at in range(5):
            copies.back_up(file, tmp_path / f"kept{at}")
    finally:
        ended.set()
        writer.join()

    for at in range(5):
        found = names(tmp_path / f"kept{at}")
        assert len(found) % 2 == 0, "a transaction is whole in it or not at all"


def test_a_backup_never_overwrites_and_never_makes_something_of_nothing(file: Path, tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("something else")

    with pytest.raises(FileExistsError):
        copies.back_up(file, tmp_path / "kept")
    with pytest.raises(NoData):
        copies.back_up(tmp_path / "none", tmp_path / "new")
    assert (tmp_path / "kept").read_text() == "something else"
    assert not (tmp_path / "new").exists()
    assert not (tmp_path / "none").exists()


def test_a_restored_file_has_the_backups_data_a_new_epoch_and_the_old_file_beside_it(
    file: Path, tmp_path: Path
) -> None:
    add("Runa")
    copies.back_up(file, tmp_path / "kept")
    add("Ivo")
    with store.reading():
        before = meta.epoch()
    store.close()

    old = copies.restore(tmp_path / "kept", file)

    assert old is not None
    assert names(file) == ["Runa"]
    assert names(old) == ["Runa", "Ivo"]
    assert (before, before) == (epoch(old), epoch(tmp_path / "kept"))
    assert epoch(file) != before
    assert file.stat().st_mode & 0o777 == 0o600
    assert sorted(one.name for one in file.parent.iterdir()) == [file.name, f"{file.name}.replaced-1"]
    assert copies.restore(tmp_path / "kept", file) == file.with_name(f"{file.name}.replaced-2")


def test_a_server_that_runs_goes_on_with_the_restored_file(file: Path, tmp_path: Path) -> None:
    add("Runa")
    copies.back_up(file, tmp_path / "kept")
    add("Ivo")
    store.close()
    copies.restore(tmp_path / "kept", file)
    add("Ebba")

    assert names(file) == ["Runa", "Ebba"]


def test_a_file_can_be_restored_where_there_is_none(file: Path, tmp_path: Path) -> None:
    add("Runa")
    copies.back_up(file, tmp_path / "kept")

    assert copies.restore(tmp_path / "kept", tmp_path / "new" / "place.sqlite3") is None
    assert names(tmp_path / "new" / "place.sqlite3") == ["Runa"]


def test_what_is_damaged_or_none_of_ours_is_not_put_in_the_place_of_anything(file: Path, tmp_path: Path) -> None:
    add("Runa")
    copies.back_up(file, tmp_path / "kept")
    whole = (tmp_path / "kept").read_bytes()
    (tmp_path / "cut").write_bytes(whole[: len(whole) // 2])
    (tmp_path / "text").write_text("a list of things to buy")
    with closing(sqlite3.connect(tmp_path / "other")) as connection:
        connection.execute("CREATE TABLE user (name TEXT)")
    store.close()

    for name in ("cut", "text", "other", "none"):
        with pytest.raises(NoData):
            copies.restore(tmp_path / name, file)
    assert names(file) == ["Runa"]
    assert [one.name for one in file.parent.iterdir()] == [file.name]


def test_a_backup_of_a_newer_version_is_not_restored(file: Path, tmp_path: Path) -> None:
    add("Runa")
    with store.transaction():
        execute("INSERT INTO migration VALUES (9999, 'm9999_later')")
    copies.back_up(file, tmp_path / "kept")
    store.close()

    with pytest.raises(TooNew):
        copies.restore(tmp_path / "kept", file)
    assert [one.name for one in file.parent.iterdir()] == [file.name]
