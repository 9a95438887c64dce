"""A restore that is killed at any of its steps leaves a whole file in the place: the old one, or the restored one."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

from webapp import store
from webapp.store import users
from webapp.store.sqlite import copies, marker

ROOT = Path(__file__).parents[3]
# Ends the process at the nth step that changes names or opens a database, as a kill does.
RESTORE = """
import os, sys
from pathlib import Path
from webapp.store.sqlite.copies import restore

steps = 0

def count(event, arguments):
    global steps
    if event in ("os.rename", "os.link", "os.remove", "sqlite3.connect"):
        steps += 1
        if steps == int(sys.argv[3]):
            os._exit(9)

sys.addaudithook(count)
restore(Path(sys.argv[1]), Path(sys.argv[2]))
"""


def names(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return [name for (name,) in connection.execute("SELECT name FROM user ORDER BY id")]


def made(file: Path, tmp_path: Path) -> Path:
    """Make a backup with one diver, and a folder whose file has two, the second in its write-ahead log only."""
    with store.transaction():
        users.add_user("Runa", "runa", "x", "t")
    store.close()
    copies.back_up(file, tmp_path / "kept")
    folder = tmp_path / "killed"
    folder.mkdir()
    with closing(sqlite3.connect(file)) as keeps_the_log:
        keeps_the_log.execute("SELECT count(*) FROM user").fetchone()
        with store.transaction():
            users.add_user("Ivo", "ivo", "x", "t")
        store.close()
        for end in ("", "-wal"):
            shutil.copy(f"{file}{end}", folder / f"{file.name}{end}")
    marker.release(marker.hold(folder / file.name))
    return folder


def test_a_restore_killed_at_any_step_leaves_a_whole_file_in_the_place(file: Path, tmp_path: Path) -> None:
    before, step, found = made(file, tmp_path), 0, []
    while True:
        step += 1
        folder = shutil.copytree(before, tmp_path / f"step{step}")
        command = [sys.executable, "-c", RESTORE, str(tmp_path / "kept"), str(folder / file.name), str(step)]
        ended = subprocess.run(command, cwd=ROOT, check=False).returncode
        found.append(names(folder / file.name))
        for kept in folder.glob("*.replaced-*"):
            if not kept.name.endswith(copies.SIDE_FILES):
                assert names(kept) == ["Runa", "Ivo"]
        if ended == 0:
            break
        assert ended == 9
        copies.restore(tmp_path / "kept", folder / file.name)
        assert names(folder / file.name) == ["Runa"]
        assert list(folder.glob(".*")) == []

    assert step > 8
    assert found[0] == ["Runa", "Ivo"]
    assert found[-1] == ["Runa"]
    assert all(one in (["Runa"], ["Runa", "Ivo"]) for one in found)
