"""What limits: the reasons noted with dives that were not clean, by depth; counts and no causes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ..planner.proposal import is_clean
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from .bands import band_of, by_band, dives_of, edges, in_words, wanted_m
from .by_condition import conditions_of
from .speeds import speeds_by_depth
from .words import count, listed, on

Json = Mapping[str, Any]
OTHER = "other"
MOST_NAMED = 3  # that share the first place
EMPTY, ALL_CLEAN = "No dive is logged yet.", "Every dive so far was clean."
DEPTH = "Depth is the target, without one the depth reached."


def limits_of(log: Sequence[Json], book: Rulebook) -> dict[str, Any]:
    """Return the counts by discipline and band of depth, effort and speed by depth, and days by their conditions.

    A dive counts once in each group of its signs and its reason for turning: the groups may add up to more than the
    dives that were not clean.
    """
    dives = dives_of(log)
    rows = [_row(name, from_m, held, book) for (name, from_m), held in by_band(dives, book).items()]
    return {
        "says": _says(rows, dives, book),
        "rows": rows,
        "names": {group: one["says"] for group, one in book.texts["limit_group"].items()},
        "effort": _effort(dives, book),
        "speeds": speeds_by_depth(dives, book),
        "conditions": conditions_of(log, book),
    }


def groups_of(dive: Json, book: Rulebook) -> list[str]:
    """Return the groups of what was noted with a dive that was not clean; `other` when nothing was."""
    noted, why = set(dive["signs"]), dive.get("turned_why")
    groups = book.texts["limit_group"].items()
    return [name for name, one in groups if noted & {*one["signs"]} or why in one["turned_why"]] or [OTHER]


def _row(discipline: str, from_m: float, dives: Sequence[Json], book: Rulebook) -> dict[str, Any]:
    unclean = [groups_of(dive, book) for dive in dives if not is_clean(dive, book)]
    reasons = {group: sum(group in groups for groups in unclean) for group in book.texts["limit_group"]}
    return {
        "discipline": discipline, **edges(from_m, book), "dives": len(dives), "not_clean": len(unclean),
        "reasons": reasons,
    }  # fmt: skip


def _says(rows: Sequence[Json], dives: Sequence[Json], book: Rulebook) -> str:
    unclean = sum(row["not_clean"] for row in rows)
    if not unclean:
        return ALL_CLEAN if rows else EMPTY
    counted = [(row["reasons"][group], row, group) for row in rows for group in row["reasons"] if group != OTHER]
    most = max(number for number, _, _ in counted)
    if most < book.value("looking_back.least"):
        return f"Too few to say what comes most often: {count(unclean, 'dive')} not clean so far."
    first = [(row, group) for number, row, group in counted if number == most]
    return (
        f"Noted most often{': ' + _one(*first[0], dives, book) if len(first) == 1 else _several(first, book)} {DEPTH}"
    )


def _one(row: Json, group: str, dives: Iterable[Json], book: Rulebook) -> str:
    """Return the most frequent limit with its depth and count, and between which depths those dives were turned."""
    where = f"{row['discipline']} {in_words(row)}"
    said = f"{_name(group, book)}, at {where}: {row['reasons'][group]} of {count(row['dives'], 'dive')}"
    turned = [dive["reached_m"] for dive in dives if _is_turned(dive, row, group, book)]
    if not turned:
        return f"{said}."
    low, high = show(min(turned)), show(max(turned))
    return f"{said}; {len(turned)} turned at {low if low == high else f'{low} to {high}'} m."


def _is_turned(dive: Json, row: Json, group: str, book: Rulebook) -> bool:
    """Tell whether this dive counts in this row and group and did not reach its target."""
    if (dive["discipline"], band_of(wanted_m(dive), book)) != (row["discipline"], row["from_m"]):
        return False
    is_short = dive["reached_m"] < wanted_m(dive) - book.value("clean.tolerance_m")
    return is_short and group in groups_of(dive, book)


def _several(first: Sequence[tuple[Json, str]], book: Rulebook) -> str:
    named = [f"{_name(group, book)} at {row['discipline']} {in_words(row)}" for row, group in first[:MOST_NAMED]]
    row, group = first[0]
    return f", each {row['reasons'][group]} times: {listed(named)}."


def _name(group: str, book: Rulebook) -> str:
    return str(book.texts["limit_group"][group]["says"]).lower()


def _effort(dives: Iterable[Json], book: Rulebook) -> list[dict[str, Any]]:
    """Return the efforts at each depth that was dived often enough: deep dives that reached it, in whole metres."""
    marks: dict[tuple[str, int], list[Json]] = {}
    for dive in dives:
        is_short = dive["reached_m"] < wanted_m(dive) - book.value("clean.tolerance_m")
        if dive["role"] == "deep" and dive["effort"] is not None and not is_short:
            marks.setdefault((dive["discipline"], int(dive["reached_m"] + 0.5)), []).append(dive)
    enough = [(key, held) for key, held in sorted(marks.items()) if len(held) >= book.value("looking_back.least")]
    return [_efforts(name, depth_m, held, book) for (name, depth_m), held in enough]


def _efforts(discipline: str, depth_m: int, dives: Sequence[Json], book: Rulebook) -> dict[str, Any]:
    first, last = dives[0], dives[-1]
    said = (
        f"{discipline} {depth_m} m, {len(dives)} dives: effort {first['effort']} on {on(first['date'], book)}, "
        f"{last['effort']} on {on(last['date'], book)}."
    )
    marks = [{"date": dive["date"], "effort": dive["effort"]} for dive in dives]
    return {"discipline": discipline, "depth_m": depth_m, "marks": marks, "says": said}
