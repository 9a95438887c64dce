"""The map holds: who may import whom, how long a file may be, what stands at top level."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FLASK = ("flask", "flask_wtf", "wtforms", "werkzeug", "itsdangerous", "markupsafe", "jinja2", "waitress")
STORE = ("peewee", "playhouse")

PURE = ("forecast", "formats", "planner", "protocol", "readings", "records", "rulebook", "water")

# room of webapp: (rooms of webapp that it may import, other packages that it may import beside the standard library).
# The longest name that fits a module is its room.
MAY_IMPORT: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "water": (("water",), ()),
    "rulebook": (("rulebook",), ()),
    "records": (("records", "rulebook"), ()),
    "planner": (("planner", "records", "rulebook", "water"), ()),
    "planner.reader": (("planner.reader", "rulebook.checks"), ()),
    "readings": (("readings", "planner", "records", "rulebook", "water"), ()),
    "forecast": (("forecast", "planner", "records", "rulebook"), ("numpy",)),
    "protocol": (("protocol", "records", "rulebook"), ()),
    "formats": (("formats",), ()),
    "rulebook_file": (("rulebook",), ()),
    "clock": ((), ()),
    "store": (("store", "protocol.values", "rulebook.faults"), STORE),
    "actions": (
        ("actions", *PURE, "rulebook_file", "store"),
        ("webauthn", "webauthn.helpers", "webauthn.helpers.structs", "werkzeug.security", "zxcvbn.frequency_lists"),
    ),
    "web": (
        ("web", "actions.errors", "actions.accounts", "actions.times", "actions.tokens", "protocol.envelope",
         "protocol.kinds", "records.labels", "rulebook.faults"),
        FLASK,
    ),
    "web.qr": ((), ("segno",)),
    "web.words": (("protocol.kinds", "records.labels", "rulebook_file"), FLASK),
    "web.app": (("web", "clock", "rulebook_file", "store"), FLASK),
    "web.forms": (("web.forms", "records", "rulebook"), FLASK),
    "web.views": (
        ("web", "actions", "protocol.kinds", "protocol.written", "records", "rulebook", "rulebook_file"),
        FLASK,
    ),
    "cli": (("cli", "actions", "clock", "planner.plan", "records", "rulebook", "rulebook_file", "store", "web"), FLASK),
    "cli.plan": (("clock", "planner.plan", "protocol.log", "records", "rulebook", "rulebook_file"), ()),
}  # fmt: skip


def modules() -> list[Path]:
    return sorted((ROOT / "webapp").rglob("*.py"))


def room_of(path: Path) -> str | None:
    """Return the longest name in the table that fits this module."""
    name = ".".join(path.relative_to(ROOT / "webapp").with_suffix("").parts)
    fits = [room for room in MAY_IMPORT if name == room or name.startswith(room + ".")]
    return max(fits, key=len, default=None)


def imports_of(path: Path) -> Iterator[str]:
    """Yield every imported module by its absolute name."""
    package = path.relative_to(ROOT).with_suffix("").parts[:-1]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            name = ".".join(part for part in (base, node.module) if part)
            yield from (f"{name}.{alias.name}" for alias in node.names) if name.count(".") < 2 else (name,)


def is_allowed(name: str, parts: tuple[str, ...], others: tuple[str, ...]) -> bool:
    top = name.split(".")[0]
    if top == "webapp":
        inner = name.removeprefix("webapp").removeprefix(".")
        return any(inner == part or inner.startswith(part + ".") for part in parts)
    return top in sys.stdlib_module_names or any(name == other or name.startswith(other + ".") for other in others)


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_each_part_imports_only_what_the_map_allows(path: Path) -> None:
    room = room_of(path)
    if room is not None:
        assert [name for name in imports_of(path) if not is_allowed(name, *MAY_IMPORT[room])] == []


def test_every_module_is_in_a_room_but_the_few_that_are_named() -> None:
    assert {path.name for path in modules() if room_of(path) is None} == {"__init__.py", "__main__.py"}


def test_the_package_imports_nothing() -> None:
    assert list(imports_of(ROOT / "webapp" / "__init__.py")) == []


@pytest.mark.parametrize("part", PURE)
def test_the_core_asks_no_clock_file_network_random_or_environment(part: str) -> None:
    forbidden = {
        "os",
        "time",
        "random",
        "secrets",
        "socket",
        "pathlib",
        "subprocess",
        "urllib",
        "sqlite3",
        "threading",
    }
    for path in (ROOT / "webapp" / part).rglob("*.py"):
        assert [name for name in imports_of(path) if name.split(".")[0] in forbidden] == [], path
        called = {
            ast.unparse(node.func) for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)
        }
        assert not called & {"open", "date.today", "datetime.now", "input", "print", "eval", "exec"}, path


def test_only_one_place_asks_the_time() -> None:
    for path in modules():
        text = path.read_text(encoding="utf-8")
        if path.name != "clock.py":
            assert "datetime.now(" not in text, path
            assert "date.today(" not in text, path
            assert "time.time(" not in text, path


@pytest.mark.parametrize("folder", ["webapp", "static/js", "service_worker"])
def test_no_file_is_longer_than_300_lines(folder: str) -> None:
    for path in [*(ROOT / folder).rglob("*.py"), *(ROOT / folder).rglob("*.js")]:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 300, path


@pytest.mark.parametrize("folder", sorted({path.parent for path in modules()}), ids=lambda path: path.name)
def test_each_folder_states_its_law_in_at_most_five_lines(folder: Path) -> None:
    law = ast.get_docstring(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
    assert law
    assert len(law.splitlines()) <= 5


def test_the_top_level_holds_only_what_was_agreed() -> None:
    listed = subprocess.run(["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=True)  # noqa: S607
    tops = {name.split("/")[0] for name in listed.stdout.split()}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "webapp", "static", "service_worker", "tests"}
    assert set() == {name for name in tops if not name.startswith(".")} - agreed
