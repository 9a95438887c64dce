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


# source (memory): Bühlmann, Tauchmedizin 1995/2002. Checked against the formula, which was seen for b: every b but that
# of 18.5 min follows 1.005 - T^(-1/2), and a follows 2 bar x T^(-1/3) where the set A was not changed later.
TISSUES = (
    (4, 1.2599, 0.5050), (8, 1.0000, 0.6514), (12.5, 0.8618, 0.7222), (18.5, 0.7562, 0.7825), (27, 0.6200, 0.8126),
    (38.3, 0.5043, 0.8434), (54.3, 0.4410, 0.8693), (77, 0.4000, 0.8910), (109, 0.3750, 0.9092), (146, 0.3500, 0.9222),
    (187, 0.3295, 0.9319), (239, 0.3065, 0.9403), (305, 0.2835, 0.9477), (390, 0.2610, 0.9544), (498, 0.2480, 0.9602),
    (635, 0.2327, 0.9653),
)  # fmt: skip


def test_the_tissues_have_the_constants_of_the_published_table():
    assert tuple(zip(constants.HALF_TIMES_MIN, constants.SCALE_A_BAR, constants.SCALE_B, strict=True)) == TISSUES


def test_the_tissues_follow_the_formulas_that_the_table_was_made_with():
    for minutes, a, b in TISSUES:
        if minutes != 18.5:
            assert abs(b - (1.005 - minutes**-0.5)) < 1e-4
        if minutes < 20 or minutes == 635:
            assert abs(a - 2 * minutes ** (-1 / 3)) < 1e-4


# source (seen): the alveolar pressure of Bühlmann, as an encyclopedia gives it: 0.0627 bar of vapour; 0.79 (seen)
def test_the_gas_in_the_lungs_has_the_vapour_and_the_share_of_nitrogen_that_were_published():
    assert (constants.VAPOUR_BAR, constants.NITROGEN_SHARE) == (0.0627, 0.79)
