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

# part of webapp: (parts of webapp that it may import, other packages that it may import beside the standard library)
MAY_IMPORT: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "water": (("water",), ()),
    "rulebook": (("rulebook",), ()),
    "records": (("records", "rulebook"), ()),
    "protocol": (("protocol", "records", "rulebook"), ()),
    "planner": (("planner", "records", "rulebook", "water"), ()),
    "readings": (("readings", "planner", "records", "rulebook", "water"), ()),
    "formats": (("formats",), ()),
    "rulebook_file": (("rulebook",), ()),
    "clock": ((), ()),
    "store": (("store", "protocol.values", "rulebook.faults"), STORE),
    "actions": (
        ("actions", "formats", "planner", "protocol", "records", "rulebook", "water", "store", "rulebook_file"),
        ("werkzeug.security",),
    ),
    "forms": (("forms", "records", "rulebook"), ("flask", "flask_wtf", "wtforms")),
    "views": (
        (
            "views",
            "actions",
            "forms",
            "store",
            "planner",
            "protocol",
            "readings",
            "records",
            "rulebook",
            "rulebook_file",
            "clock",
            "errors",
            "security",
            "assets",
            "throttle",
            "filters",
        ),
        FLASK,
    ),
}


def modules() -> list[Path]:
    return sorted((ROOT / "webapp").rglob("*.py"))


def part_of(path: Path) -> str:
    return path.relative_to(ROOT / "webapp").with_suffix("").parts[0]


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
    part = part_of(path)
    if part in MAY_IMPORT:
        assert [name for name in imports_of(path) if not is_allowed(name, *MAY_IMPORT[part])] == []


def test_the_package_imports_nothing() -> None:
    assert list(imports_of(ROOT / "webapp" / "__init__.py")) == []


@pytest.mark.parametrize("part", ["formats", "planner", "protocol", "readings", "records", "rulebook", "water"])
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
