"""The planner's own door, as a process."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from support.seasons import day, dive
from support.story import season

ROOT = Path(__file__).parents[2]


def run(*arguments: str, code: str = "") -> subprocess.CompletedProcess[str]:
    start = ["-c", code] if code else ["-m", "webapp"]
    return subprocess.run([sys.executable, *start, *arguments], capture_output=True, text=True, cwd=ROOT, check=False)


def write(path: Path, value: Any) -> str:
    path.write_text(value if isinstance(value, str) else json.dumps(value), encoding="utf-8")
    return str(path)


def test_it_prints_a_table_for_people(tmp_path: Path) -> None:
    done = run("plan", write(tmp_path / "s.json", season()), "--today", day(0))
    assert done.returncode == 0
    assert any(
        line.startswith(day(0)) and "FIM 40 m deep 1/2" in line and "start of the ladder" in line
        for line in done.stdout.splitlines()
    )
    assert "44 m (floor) planned for" in done.stdout


def test_it_prints_json_with_the_log_taken_in(tmp_path: Path) -> None:
    log = [dive(id="a", target_m=40, reached_m=40), {"clearance": day(1), "by": "Dr. Invented"}]
    paths = write(tmp_path / "s.json", season()), write(tmp_path / "l.json", log)
    done = run("plan", paths[0], "--log", paths[1], "--today", day(1), "--json")
    found = json.loads(done.stdout)
    assert {"days", "disciplines", "stand_down"} <= set(found)
    assert found["disciplines"]["FIM"]["clean_on_rung"] == 1
    assert {"date", "block", "kind", "dives", "why"} <= set(found["days"][0])
    assert {"discipline", "role", "target_m", "repeat", "repeats"} <= set(found["days"][0]["dives"][0])


def test_bad_input_names_every_fault_with_its_field_on_stderr_and_exits_2(tmp_path: Path) -> None:
    paths = write(tmp_path / "s.json", {**season(), "days_on": 0}), write(tmp_path / "l.json", [{"id": "a"}])
    done = run("plan", paths[0], "--log", paths[1], "--today", "today")
    assert done.returncode == 2
    assert done.stdout == ""
    for field in ("season: days_on", "log: [0].date", "log: [0].reached_m", "--today"):
        assert any(line.startswith(field) for line in done.stderr.splitlines())
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("text", ["", "{", "[" * 100_000, '{"days_on": 1e999}', "\ufeff{}"])
def test_a_file_that_is_no_season_is_told_plainly(tmp_path: Path, text: str) -> None:
    done = run("plan", write(tmp_path / "s.json", text))
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr


def test_a_missing_file_is_told_plainly(tmp_path: Path) -> None:
    done = run("plan", str(tmp_path / "none.json"))
    assert done.returncode == 2
    assert "cannot be read" in done.stderr


def test_it_runs_where_flask_and_peewee_are_not_installed(tmp_path: Path) -> None:
    code = (
        "import sys; sys.modules.update(flask=None, peewee=None, wtforms=None, flask_wtf=None, waitress=None)\n"
        "from webapp.__main__ import main; sys.exit(main(sys.argv[1:]))"
    )
    done = run("plan", write(tmp_path / "s.json", season()), "--today", day(0), code=code)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_log_or_a_day_that_was_named_by_nothing_is_a_fault_and_not_left_out(tmp_path: Path) -> None:
    done = run("plan", write(tmp_path / "s.json", season()), "--log", "", "--today", "")
    assert (done.returncode, done.stdout) == (2, "")
    assert "log '' cannot be read" in done.stderr
    assert "--today must be a date as YYYY-MM-DD" in done.stderr


def test_half_a_character_in_an_id_or_a_note_is_told_plainly(tmp_path: Path) -> None:
    log = [dive(id="\ud800", target_m=40, reached_m=40), dive(id="b", target_m=40, reached_m=40, note="deep \udc00")]
    paths = write(tmp_path / "s.json", season()), write(tmp_path / "l.json", log)
    done = run("plan", paths[0], "--log", paths[1], "--today", day(1), "--json")
    assert done.returncode == 2
    for field in ("log: [0].id", "log: [1].note"):
        assert f"{field} must be text of whole characters: it contains half of one" in done.stderr
