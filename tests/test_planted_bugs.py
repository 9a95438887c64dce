"""The bugs that `tests/bench/mutants.py` plants: each still finds its place in the code, and its test exists."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BUGS = [
    bug for path in sorted(ROOT.glob("tests/bench/mutants*.toml")) for bug in tomllib.loads(path.read_text())["bug"]
]


@pytest.mark.parametrize("bug", BUGS, ids=[bug["says"] for bug in BUGS])
def test_a_planted_bug_has_one_place_and_a_test(bug: dict[str, object]) -> None:
    for change in bug["change"]:
        assert (ROOT / change.get("path", bug["path"])).read_text().count(change["old"].strip("\n")) == 1
    path, name = str(bug["test"]).split("::")
    assert f"def {name.partition('[')[0]}(" in (ROOT / path).read_text()
