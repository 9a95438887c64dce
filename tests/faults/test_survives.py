"""The table "What it survives" cannot lie: every fault has its line, and every test it names is there."""

from __future__ import annotations

import re
import tomllib

from support.boat import ROOT

FAULTS = 45  # the list from which the suite was built; later faults stand below it
SECTION = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## What it survives\n")[1].split("\n## ")[0]
TABLE, PLANTED = SECTION.split("<!-- mutants sync -->")


def names_there() -> set[str]:
    """The name of every test and test class."""
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py")]
    return {
        name for text in texts for name in re.findall(r"^(?:def (test_\w+)|(Test\w+) =)", text, re.M) for name in name
    }


def test_every_fault_has_a_line_and_every_test_it_names_exists() -> None:
    lines = re.findall(r"^\| (\d+) \| [^|]+ \| ([^|]+) \|$", TABLE, re.M)
    numbers = [int(number) for number, _ in lines]
    assert numbers == list(range(1, len(lines) + 1))
    assert len(lines) >= FAULTS
    named = [name for _, seen_by in lines for name in re.findall(r"`(\w+)`", seen_by)]
    there = names_there()
    assert [name for name in named if name not in there] == []


def test_every_test_of_this_folder_is_in_the_table() -> None:
    for path in (ROOT / "tests" / "faults").glob("test_*.py"):
        if path.name != "test_survives.py":
            for name in re.findall(r"^def (test_\w+)", path.read_text(encoding="utf-8"), re.M):
                assert f"`{name}`" in TABLE, name


def test_every_planted_bug_was_seen() -> None:
    """As the last run wrote it: `python tests/bench/mutants.py sync --write`."""
    bugs = tomllib.loads((ROOT / "tests/bench/mutants.toml").read_text(encoding="utf-8"))["bug"]
    assert len(bugs) >= 10
    written = re.findall(r"^\| ([^|]+) \| `[^|]+` \| `[^|]+` \| (\w+) \|$", PLANTED, re.M)
    assert written == [(bug["says"], "red") for bug in bugs]
