"""Changes of a season: each holds from its day on, and the days before it keep what was planned."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .blocks import EVEN_FIELDS
from .model import Change, Season

CHANGE_FIELDS = ("from", "set", "why")
Check = Callable[[Mapping[str, Any], Rulebook, str | None], tuple[Season, Rulebook]]
Json = Mapping[str, Any]


def check_changes(
    plain: Json, fields: tuple[str, ...], season: Season, book: Rulebook, check: Check, faults: Faults
) -> tuple[Change, ...]:
    """Return the changes in order, each with the whole season as it is from its day on.

    `fields` may be changed, `book` is the rulebook as shipped, and `check` checks a season without changes.
    """
    raw, most = plain.get("changes"), book.limit("changes")[1]
    if raw is None:
        return ()
    if not isinstance(raw, list) or len(raw) > most:
        faults.add("changes", f"must be a list of at most {most} changes")
        return ()
    found: list[Change] = []
    so_far: Json = {name: value for name, value in plain.items() if name != "changes"}
    before, last_day = season.first_day, season.last_day
    for index, one in enumerate(raw):
        field = f"changes[{index}]"
        day, group, why = _parts(one, field, fields, before, last_day, book, faults)
        before, so_far = day or before, merged(so_far, group)
        try:
            changed, rules = check(so_far, book, day)
        except Refused as refused:
            faults.found.extend(_moved(refused, f"{field}.set"))
            continue
        if day and changed.last_day < day:
            faults.add(f"{field}.set.last_day", "is before the day from which the change holds")
        last_day = changed.last_day
        found.append(Change(day, why, changed, rules))
    return tuple(found)


def merged(raw: Json, group: Json) -> dict[str, Any]:
    """Return a season as typed with these parts replaced; blocks of its own replace the older fields."""
    kept = {name: value for name, value in raw.items() if not (name in EVEN_FIELDS and "blocks" in group)}
    return {**kept, **group}


def raw_on(raw: Json, day: str) -> dict[str, Any]:
    """Return a checked season as typed, as it is on this day: without changes, those up to the day already made."""
    so_far: dict[str, Any] = {name: value for name, value in raw.items() if name != "changes"}
    for change in raw.get("changes") or []:
        if change["from"] <= day:
            so_far = merged(so_far, change["set"])
    return so_far


def _parts(
    one: object, field: str, fields: tuple[str, ...], before: str, last_day: str, book: Rulebook, faults: Faults
) -> tuple[Any, Json, Any]:
    """Return day, changed parts and reason of one change."""
    plain = faults.group(one, field, CHANGE_FIELDS)
    group = faults.group({} if plain.get("set") is None else plain["set"], f"{field}.set", fields)
    if not group:
        faults.add(f"{field}.set", "is missing: what changes")
    day = check_day(plain.get("from"), f"{field}.from", book, faults)
    if day and day > last_day:
        faults.add(f"{field}.from", "is after the last day of the season")
    elif day and day <= before:
        faults.add(f"{field}.from", "must be after the first day of the season and after the change before")
    why = faults.text(plain.get("why"), f"{field}.why", book.limit("note")[1])
    return day, {name: value for name, value in group.items() if name in fields}, why


def _moved(refused: Refused, field: str) -> list[Any]:
    return [type(fault)(f"{field}.{fault.field}" if fault.field else field, fault.says) for fault in refused.faults]
