"""The published constants: each with its source and how far it was checked, so that the rulebook page can show it."""

from __future__ import annotations

import ast
from pathlib import Path

from webapp import water
from webapp.water import constants
from webapp.water.constants import CONSTANTS

FOLDER = Path(water.__file__).parent


def test_every_constant_has_unit_meaning_source_and_mark():
    for constant in CONSTANTS:
        assert constant.meaning.endswith("."), constant.name
        assert constant.source, constant.name
        assert constant.mark in {"seen", "memory", "definition"}, constant.name
    names = [constant.name for constant in CONSTANTS]
    assert len(set(names)) == len(names)


def test_every_value_of_the_module_is_in_the_table():
    shown = [constant.value for constant in CONSTANTS]
    for name, value in vars(constants).items():
        if name.isupper() and not name.startswith("_") and name not in {"CONSTANTS", "CM_PER_INCH"}:
            for part in value.values() if isinstance(value, dict) else [value]:
                assert part in shown, name


def test_the_folder_imports_the_standard_library_and_itself_only():
    allowed = {"__future__", "collections", "dataclasses", "functools", "math", "statistics", "typing"}
    for path in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Import):
                assert {alias.name.split(".")[0] for alias in node.names} <= allowed, path.name
            elif isinstance(node, ast.ImportFrom) and not node.level:
                assert str(node.module).split(".")[0] in allowed, path.name
