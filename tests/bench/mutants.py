"""Plants known bugs, one after the other, in a copy of the tree: `python tests/bench/mutants.py sync|plan [WORD …]
[--write]`. WORDs choose those whose description has them.

Each has to turn a test red; a bug that no test sees is a hole in the tests. `--write` puts the result into
DEVELOPERS.md. Exits 1 when a bug was not seen, or when a place that it belongs in has changed.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
PARTS = {"sync": "mutants.toml", "plan": "mutants_plan.toml"}
COPIED = ("webapp", "static", "service_worker", "tests", "pyproject.toml", "DEVELOPERS.md", "README.md")


@dataclass(frozen=True)
class Mutant:
    """A bug: what it is, the file, what it makes of which text there, and the test that has to see it."""

    says: str
    path: str
    changes: tuple[tuple[str, str], ...]
    test: str


def read_mutants(part: str) -> list[Mutant]:
    """Return the bugs of a part in their order."""
    bugs = tomllib.loads(Path(__file__).with_name(PARTS[part]).read_text(encoding="utf-8"))["bug"]
    return [
        Mutant(bug["says"], bug["path"], tuple((one["old"], one["new"]) for one in bug["change"]), bug["test"])
        for bug in bugs
    ]


def copy_tree(to: Path) -> None:
    """Copy what git knows or would take, as it stands now."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", *COPIED],  # noqa: S607
        capture_output=True, text=True, cwd=ROOT, check=True,
    )  # fmt: skip
    for name in listed.stdout.split():
        if (ROOT / name).exists():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / name, to / name)


def run(tree: Path, tests: list[str], aloud: bool = False) -> int:
    """Run tests of the copy; return what pytest returns: 0 all green, 1 some red, more when it could not run."""
    asked = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    return subprocess.run(asked, cwd=tree, capture_output=not aloud, check=False).returncode


def plant(tree: Path, mutant: Mutant) -> str:
    """Plant one bug, run its test, take the bug out again; return what became of it."""
    file = tree / mutant.path
    whole = file.read_text(encoding="utf-8")
    broken = whole
    for old, new in mutant.changes:
        if broken.count(old) != 1:
            return "its place has changed"
        broken = broken.replace(old, new)
    file.write_text(broken, encoding="utf-8")
    status = run(tree, [mutant.test])
    file.write_text(whole, encoding="utf-8")
    return {0: "NOT SEEN", 1: "red"}.get(status, "could not run")


def write_down(part: str, lines: list[str]) -> None:
    """Put the table into DEVELOPERS.md, between the part's mark and the next heading."""
    path = ROOT / "DEVELOPERS.md"
    text, mark = path.read_text(encoding="utf-8"), f"<!-- mutants {part} -->"
    table = "\n".join(lines)
    path.write_text(re.sub(rf"{mark}\n.*?(?=\n##)", lambda _: f"{mark}\n\n{table}\n", text, flags=re.S), "utf-8")


def each(mutants: list[Mutant], results: list[str]) -> list[str]:
    """Return the table with a row for each bug."""
    return ["| planted bug | in | seen by | result |", "|---|---|---|---|", *map(row, mutants, results)]


def row(one: Mutant, result: str) -> str:
    """Return the row of one bug."""
    return f"| {one.says} | `{one.path}` | `{one.test.split('::')[-1].split('/')[-1]}` | {result} |"


def counted(mutants: list[Mutant], results: list[str]) -> list[str]:
    """Return the table with a row for each folder."""
    folders = [str(Path(one.path).parent) for one in mutants]
    red = Counter(folder for folder, result in zip(folders, results, strict=True) if result == "red")
    rows = [f"| `{folder}` | {count} | {red[folder]} |" for folder, count in sorted(Counter(folders).items())]
    return ["| in | planted | red |", "|---|---|---|", *rows]


def main() -> int:
    """Plant each bug and print the table."""
    part, *words = [word for word in sys.argv[1:] if word != "--write"]
    mutants = [one for one in read_mutants(part) if all(word in one.says for word in words)]
    results = []
    with tempfile.TemporaryDirectory() as name:
        tree = Path(name)
        copy_tree(tree)
        if run(tree, sorted({one.test for one in mutants}), aloud=True):
            print("The tests are not green without any bug.", file=sys.stderr)
            return 1
        for one in mutants:
            results.append(plant(tree, one))
            print(row(one, results[-1]), flush=True)
    if "--write" in sys.argv and not words:
        write_down(part, each(mutants, results) if part == "sync" else counted(mutants, results))
    return int(set(results) != {"red"})


if __name__ == "__main__":
    sys.exit(main())
