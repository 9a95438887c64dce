import sqlite3
from contextlib import closing
from pathlib import Path
from types import ModuleType

import pytest

from webapp import store
from webapp.store.sqlite import migrate
from webapp.store.sqlite.database import execute
from webapp.store.sqlite.migrate import FileChanged, Step, TooNew, steps, upgrade
from webapp.store.tables import TABLES

NEXT = len(steps()) + 1


def step(number: int, *statements: str) -> Step:
    module = ModuleType(f"m{number:04d}_made_up")

    def up(connection: sqlite3.Connection) -> None:
        for statement in statements:
            connection.execute(statement)

    module.up = up  # type: ignore[attr-defined]
    return Step(number, module.__name__, module)


def dump(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


def columns(file: Path, table: str) -> dict[str, tuple[str, int]]:
    with closing(sqlite3.connect(file)) as connection:
        rows = connection.execute(f"PRAGMA table_info({table})").fetchall()
    return {name: (kind, required or key) for _, name, kind, required, _, key in rows}


@pytest.fixture
def diver_in_file(file: Path) -> Path:
    with store.transaction():
        execute("INSERT INTO user (name, name_key, password_hash, created_at) VALUES ('Runa', 'runa', 'x', 't')")
    store.close()
    return file


def test_a_new_file_has_every_migration_in_its_history(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        history = connection.execute("SELECT number, name FROM migration").fetchall()

    assert [(one.number, one.name) for one in steps()] == history


def test_numbers_of_migrations_begin_at_one_and_leave_no_gap() -> None:
    assert list(range(1, len(steps()) + 1)) == [one.number for one in steps()]


def test_the_tables_in_the_code_are_the_tables_in_the_file(file: Path) -> None:
    for table in TABLES:
        meta = table._meta  # type: ignore[attr-defined]
        in_file = columns(file, meta.table_name)

        assert set(meta.columns) == set(in_file), meta.table_name
        for name, field in meta.columns.items():
            number = field.field_type in ("INT", "AUTO", "BOOL")
            assert ("INTEGER" if number else "TEXT") == in_file[name][0], (meta.table_name, name)
            assert field.null != bool(in_file[name][1]), (meta.table_name, name)


def test_opening_the_same_file_again_changes_nothing(diver_in_file: Path) -> None:
    before = dump(diver_in_file)

    assert upgrade(diver_in_file) == ()
    assert before == dump(diver_in_file)
    assert list(diver_in_file.parent.glob("*.before-*")) == []


def test_a_migration_keeps_what_is_in_the_file_and_copies_it_first(diver_in_file: Path) -> None:
    before = dump(diver_in_file)
    second = step(NEXT, "ALTER TABLE user ADD COLUMN crew TEXT NOT NULL DEFAULT ''", "UPDATE user SET crew = name")

    assert (second.name,) == upgrade(diver_in_file, (*steps(), second))

    with closing(sqlite3.connect(diver_in_file)) as connection:
        assert connection.execute("SELECT name, crew FROM user").fetchall() == [("Runa", "Runa")]
    copy = diver_in_file.with_name(f"{diver_in_file.name}.before-{NEXT:04d}")
    assert before == dump(copy)
    assert copy.stat().st_mode & 0o777 == 0o600


def test_a_failed_migration_leaves_the_file_as_it_was_with_all_before_it_undone(diver_in_file: Path) -> None:
    before = dump(diver_in_file)
    good = step(NEXT, "ALTER TABLE user ADD COLUMN crew TEXT", "DELETE FROM user")
    bad = step(NEXT + 1, "ALTER TABLE user ADD COLUMN crew TEXT")

    with pytest.raises(sqlite3.OperationalError):
        upgrade(diver_in_file, (*steps(), good, bad))

    assert before == dump(diver_in_file)


def test_a_migration_that_leaves_rows_pointing_nowhere_is_undone(diver_in_file: Path) -> None:
    before = dump(diver_in_file)
    bad = step(NEXT, "INSERT INTO season (user_id, name, raw_json, changed_at) VALUES (99, 'x', '{}', 't')")

    with pytest.raises(FileChanged):
        upgrade(diver_in_file, (*steps(), bad))

    assert before == dump(diver_in_file)


def test_a_file_of_a_newer_version_is_not_touched(diver_in_file: Path) -> None:
    upgrade(diver_in_file, (*steps(), step(NEXT, "CREATE TABLE crew (name TEXT)")))
    before = dump(diver_in_file)

    with pytest.raises(TooNew, match="newer version"):
        store.open_store(diver_in_file)

    assert before == dump(diver_in_file)


def test_two_files_have_two_epochs(tmp_path: Path) -> None:
    migrate.upgrade(tmp_path / "a.sqlite3")
    migrate.upgrade(tmp_path / "b.sqlite3")

    epochs = [line for file in "ab" for line in dump(tmp_path / f"{file}.sqlite3") if "'epoch'" in line]
    assert len(set(epochs)) == 2
