"""Days counted by their conditions: on how many of them a dive was not clean; counts and no causes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ..planner.proposal import is_clean
from ..rulebook.rulebook import Rulebook
from .bands import dives_of
from .words import count

Json = Mapping[str, Any]


def conditions_of(log: Iterable[Json], book: Rulebook) -> list[dict[str, Any]]:
    """Return each counted condition; days of which nothing was said about it are left out."""
    records = list(log)
    days: dict[str, list[Json]] = {}
    for dive in dives_of(records):
        days.setdefault(dive["date"], []).append(dive)
    unclean = {day for day, dives in days.items() if not all(is_clean(dive, book) for dive in dives)}
    said = {
        (one["date"], name): one for one in records if one["kind"] == "day" for name in _names(book) if one.get(name)
    }
    found = []
    for name, counted in book.texts["counted_condition"].items():
        had = {day: _had(name, dives, said.get((day, name))) for day, dives in days.items()}
        hard = {day for day, codes in had.items() if codes & {*counted["codes"]}}
        other = {day for day, codes in had.items() if codes} - hard
        if hard:
            found.append(_counted(counted["says"], hard, other, unclean))
    return found


def _names(book: Rulebook) -> Iterable[str]:
    return book.texts["counted_condition"]  # type: ignore[no-any-return]


def _had(name: str, dives: Iterable[Json], day: Json | None) -> set[str]:
    """Return what was said of a condition on one day: by each dive that has it, else by the day itself."""
    of_dives = {dive[name] for dive in dives if dive.get(name)}
    return of_dives or ({day[name]} if day else set())


def _counted(name: str, hard: set[str], other: set[str], unclean: set[str]) -> dict[str, Any]:
    bad, bad_others = len(hard & unclean), len(other & unclean)
    says = (
        f"{name}: {bad} of {count(len(hard), 'day')} had a dive that was not clean; "
        f"of the other days {bad_others} of {len(other)}. Counts only: they do not say why."
    )
    return {
        "name": name, "hard_days": bad, "of": len(hard), "other_days": bad_others, "of_others": len(other),
        "says": says,
    }  # fmt: skip
