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


def with_blocks(**changes: Any) -> dict[str, Any]:
    """A season with blocks of its own, a drill by share and with a focus, and changes."""
    old = ("days_on", "days_off", "block_days", "break_days", "lead", "drill")
    drill = {"discipline": "FIM", "share": 0.5, "dives": 2, "focus": "long glide"}
    block = {"first_day": day(0), "last_day": day(20), "main": "FIM", "days_on": 2, "days_off": 1, "drills": [drill]}
    raw = {name: value for name, value in season().items() if name not in old}
    return {**raw, "blocks": [block], **changes}


def test_a_target_says_that_it_is_a_new_best_or_a_goal_and_a_drill_what_it_is_for(tmp_path: Path) -> None:
    done = run("plan", write(tmp_path / "s.json", with_blocks()), "--today", day(0))

    assert (done.returncode, done.stderr) == (0, "")
    assert "drill (long glide)" in done.stdout
    assert "deeper than your best of 44 m" in done.stdout
    assert "reaches 44 m (floor)" in done.stdout
    assert "The ladder ends at " in done.stdout


def test_every_fault_of_blocks_changes_and_words_for_a_day_is_told_with_its_field(tmp_path: Path) -> None:
    raw = with_blocks(last_day=day(10), changes=[{"from": day(3), "set": {"site": {"bottom_m": 2}, "lead": 1}}])
    raw["blocks"] += [{"first_day": day(5), "last_day": day(4), "main": "CWT", "drills": [{"share": 3}]}]
    log = [{"id": "a", "day": "soon", "shallower": 9}, {"id": "b", "kind": "day", "date": day(1), "no_diving": "bored"}]
    done = run("plan", write(tmp_path / "s.json", raw), "--log", write(tmp_path / "l.json", log))
    told = [line.split(" ")[1] for line in done.stderr.splitlines()]

    assert (done.returncode, done.stdout) == (2, "")
    assert len(set(done.stderr.splitlines())) == len(told)
    assert {
        "blocks[0].last_day", "blocks[1].first_day", "blocks[1].last_day", "blocks[1].main", "blocks[1].days_on",
        "blocks[1].drills[0].discipline", "blocks[1].drills[0].share", "changes[0].set.site.bottom_m",
        "changes[0].set.lead", "[1].no_diving",
    } <= set(told)  # fmt: skip
    assert "Traceback" not in done.stderr
