"""The form in which readings are given to a diver: one part for each subject, with sentences, tables and cautions.

A part is {title, missing, says, tables, cautions, values}. `missing` says why there is nothing to read, or is None; a
table is {caption, columns, rows} of text; `values` are the numbers behind it, for further calculation.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from ..records.model import Season
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from ..water.errors import OutOfRange

Json = dict[str, Any]
Target = tuple[str, float]  # discipline and depth in m
TABLE_STEP_M = 10  # from row to row of a table
_UNIT = re.compile(r"_(m|s|l|kg)$")


def part(
    title: str, says: Iterable[str] = (), tables: Iterable[Json] = (), cautions: Iterable[str] = (), **values: Any
) -> Json:
    """Return a part that has something to read."""
    return {
        "title": title,
        "missing": None,
        "says": list(says),
        "tables": list(tables),
        "cautions": list(cautions),
        "values": values,
    }


def missing(title: str, why: str) -> Json:
    """Return a part that has nothing to read, and why."""
    return {**part(title), "missing": why}


def guarded(title: str, make: Callable[[str], Json]) -> Json:
    """Return the part, or a part that says what the physics refused."""
    try:
        return make(title)
    except OutOfRange as refused:
        return missing(title, refusal(refused))


def refusal(refused: OutOfRange, about: str = "") -> str:
    """Return a sentence that says what the physics refused and gives the allowed range."""
    subject = f"{about} is" if about else "This is"
    field = _UNIT.sub("", refused.field).replace("_", " ")
    return f"{subject} not calculated: {field} {refused.says}."


def for_each(targets: Sequence[Target], make: Callable[[Target], Any]) -> tuple[list[Any], list[str]]:
    """Return the result for each target, and a sentence for each target that the physics refused."""
    made, refused_ones = [], []
    for discipline, depth_m in targets:
        try:
            made.append(make((discipline, depth_m)))
        except OutOfRange as refused:
            refused_ones.append(refusal(refused, f"{discipline} {show(depth_m)} m"))
    return made, refused_ones


def table(caption: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> Json:
    """Return a table of text."""
    return {"caption": caption, "columns": list(columns), "rows": [list(row) for row in rows]}


def depths_m(season: Season, book: Rulebook) -> list[float]:
    """Return the depths of a table: every ten metres, then the bottom or the deepest depth that can be typed."""
    bottom_m = min(season.site.bottom_m, book.limit("depth_m")[1])
    return [*map(float, range(TABLE_STEP_M, int(-(-bottom_m // 1)), TABLE_STEP_M)), float(bottom_m)]
