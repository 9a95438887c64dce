"""The commands that keep and give away data, as processes."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from webapp import store
from webapp.cli import demo
from webapp.store.sqlite.migrate import upgrade
from webapp.web.app import create_app

ROOT = Path(__file__).parents[2]


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "webapp", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """The demo's data file."""
    file = tmp_path / "data.sqlite3"
    moment = datetime(2027, 5, 10, 9, tzinfo=UTC)
    demo.make_if_missing(create_app({"DATA_FILE": str(file), "SECRET_KEY": "for tests", "NOW": lambda: moment}), moment)
    store.close()
    return file


def count(file: Path, table: str) -> int:
    with closing(sqlite3.connect(file)) as connection:
        return int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])  # noqa: S608


def test_a_backup_and_the_way_back(data: Path, tmp_path: Path) -> None:
    kept, before = tmp_path / "kept.sqlite3", count(data, "record")
    made = run("backup", kept, "--data", data)
    with closing(sqlite3.connect(data)) as connection, connection:
        connection.execute("DELETE FROM record")
    back = run("restore", kept, "--data", data)

    assert (made.returncode, back.returncode, made.stderr, back.stderr) == (0, 0, "", "")
    assert before == count(data, "record") == count(kept, "record")
    assert count(data.with_name("data.sqlite3.replaced-1"), "record") == 0
    assert "data.sqlite3.replaced-1" in back.stdout


def test_a_backup_says_in_words_what_is_wrong_and_overwrites_nothing(data: Path, tmp_path: Path) -> None:
    (tmp_path / "there").write_text("mine")
    for done in (
        run("backup", tmp_path / "there", "--data", data),
        run("backup", tmp_path / "new", "--data", tmp_path / "none"),
        run("restore", tmp_path / "there", "--data", data),
        run("restore", tmp_path / "none", "--data", data),
    ):
        assert done.returncode == 1
        assert done.stderr.startswith(("No backup was made: ", "Nothing was restored: "))
        assert "Traceback" not in done.stderr
    assert (tmp_path / "there").read_text() == "mine"
    assert count(data, "user") == 1


def test_one_diver_is_exported_into_a_folder_of_its_own_and_the_planner_reads_it(data: Path, tmp_path: Path) -> None:
    done = run("export", "runa tidewell", tmp_path / "out", "--data", data)
    files = {file.name for file in (tmp_path / "out").iterdir()}
    planned = run("plan", tmp_path / "out/season-1.json", "--log", tmp_path / "out/log.json", "--today", "2027-05-10")

    assert (done.returncode, done.stderr) == (0, "")
    assert {"account.json", "log.json", "history.json", "season-1.json", "dives.csv", "plan.ics"} <= files
    assert (tmp_path / "out").stat().st_mode & 0o077 == 0
    assert (planned.returncode, planned.stderr) == (0, "")
    assert len(json.loads((tmp_path / "out/log.json").read_text())) == count(data, "record")


def test_an_export_of_nobody_or_into_a_full_folder_is_refused_in_words(data: Path, tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "log.json").write_text("mine")
    for done in (
        run("export", "Nobody Here", tmp_path / "out", "--data", data),
        run("export", "Runa \udcff", tmp_path / "out", "--data", data),  # a byte of the command line that is no text
        run("export", "Runa Tidewell", tmp_path / "full", "--data", data),
        run("export", "Runa Tidewell", tmp_path / "out", "--data", tmp_path / "none"),
    ):
        assert done.returncode == 1
        assert done.stderr.startswith("Nothing was exported: ")
        assert "Traceback" not in done.stderr
    assert (tmp_path / "full" / "log.json").read_text() == "mine"
    assert not (tmp_path / "none").exists()
    assert not (tmp_path / "out").exists()


def test_a_backup_can_be_made_of_a_file_that_an_older_version_left(tmp_path: Path) -> None:
    from webapp.store.sqlite.migrate import steps

    upgrade(tmp_path / "old.sqlite3", steps()[:1])

    assert run("backup", tmp_path / "kept", "--data", tmp_path / "old.sqlite3").returncode == 0


def test_the_operator_makes_a_link_for_a_diver_whose_password_is_lost(data: Path) -> None:
    made = run("reset-password", demo.NAME, "--data", data, "--address", "https://slate.example/")
    link, says = made.stdout.splitlines()
    assert link.startswith("https://slate.example/password/reset/")
    assert "works once, within 24 hours" in says
    client = create_app({"DATA_FILE": str(data), "SECRET_KEY": "for tests"}).test_client()
    page = client.get(link.removeprefix("https://slate.example"))
    assert "New password" in page.text
    store.close()


def test_a_link_for_nobody_is_refused_in_words(data: Path, tmp_path: Path) -> None:
    for arguments, says in (
        (("Nobody Known", "--data", data), "there is no diver Nobody Known"),
        ((demo.NAME, "--data", tmp_path / "none.sqlite3"), "there is no data file"),
    ):
        refused = run("reset-password", *arguments)
        assert refused.returncode == 1
        assert says in refused.stderr
