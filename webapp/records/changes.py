"""Changes of a season: each holds from its day on, and the days before it keep what was planned."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from ..rulebook.checks import Faults, is_day
from ..rulebook.dates import check_day
from ..rulebook.faults import Fault, Refused
from ..rulebook.rulebook import Rulebook
from .blocks import EVEN_FIELDS
from .model import Change, Season

CHANGE_FIELDS = ("from", "set", "why")
Check = Callable[[Mapping[str, Any], Rulebook, str | None], tuple[Season, Rulebook]]
Json = Mapping[str, Any]


def check_changes(
    plain: Json, fields: tuple[str, ...], known: Sequence[Fault], book: Rulebook, check: Check, faults: Faults
) -> tuple[Change, ...]:
    """Return the changes in order, each with the whole season as it is from its day on.

    `fields` may be changed, `known` has the faults of the season before its changes, which are not said again for
    each of them, `book` is the rulebook as shipped, and `check` checks a season without changes.
    """
    raw, most = plain.get("changes"), book.limit("changes")[1]
    if raw is None:
        return ()
    if not isinstance(raw, list) or len(raw) > most:
        faults.add("changes", f"must be a list of at most {most} changes")
        return ()
    found: list[Change] = []
    so_far: Json = {name: value for name, value in plain.items() if name != "changes"}
    before, last_day = (_day(plain.get(name)) for name in ("first_day", "last_day"))
    for index, one in enumerate(raw):
        field = f"changes[{index}]"
        day, group, why = _parts(one, field, fields, before, last_day, book, faults)
        before, so_far = day or before, merged(so_far, group)
        last_day = _day(so_far.get("last_day"))
        if day and last_day and "last_day" in group and last_day < day:
            faults.add(f"{field}.set.last_day", "is before the day from which the change holds")
        try:
            changed, rules = check(so_far, book, day)
        except Refused as refused:
            faults.found.extend(_moved(refused, known, f"{field}.set"))
            known = refused.faults
            continue
        known = ()
        found.append(Change(day, why, changed, rules))
    return tuple(found)


def _day(value: object) -> str | None:
    return str(value) if is_day(value) else None


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


def pieces(raw: Json) -> list[tuple[str, str, dict[str, Any]]]:
    """Return the pieces of a checked season that its changes make: first day, last day, and how it is typed then."""
    begins = [raw["first_day"], *(change["from"] for change in raw.get("changes") or [])]
    ends = [(date.fromisoformat(day) - timedelta(days=1)).isoformat() for day in begins[1:]]
    ends.append(raw_on(raw, begins[-1])["last_day"])
    return [(first, last, raw_on(raw, first)) for first, last in zip(begins, ends, strict=True)]


def _parts(
    one: object, field: str, fields: tuple[str, ...], before: str | None, last_day: str | None, book: Rulebook,
    faults: Faults,
) -> tuple[Any, Json, Any]:  # fmt: skip
    """Return day, changed parts and reason of one change."""
    plain = faults.group(one, field, CHANGE_FIELDS)
    group = faults.group({} if plain.get("set") is None else plain["set"], f"{field}.set", fields)
    if not group:
        faults.add(f"{field}.set", "is missing: what changes")
    day = check_day(plain.get("from"), f"{field}.from", book, faults)
    if day and last_day and day > last_day:
        faults.add(f"{field}.from", "is after the last day of the season")
    elif day and before and day <= before:
        faults.add(f"{field}.from", "must be after the first day of the season and after the change before")
    why = faults.text(plain.get("why"), f"{field}.why", book.limit("note")[1])
    return day, {name: value for name, value in group.items() if name in fields}, why


def _moved(refused: Refused, known: Sequence[Fault], field: str) -> list[Fault]:
    """Return the faults that came with a change, under the change's field."""
    new = [fault for fault in refused.faults if fault not in known]
    return [Fault(f"{field}.{fault.field}" if fault.field else field, fault.says) for fault in new]
