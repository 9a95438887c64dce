"""What an edit makes of a stored season: a change from a day on, or a correction from the start; and taking one back.

Every season here is as typed. `shown_on` is the day as of which the season was shown for editing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from ..rulebook.faults import Fault, Refused
from ..rulebook.rulebook import Rulebook
from .blocks import EVEN_FIELDS
from .changes import merged, raw_on
from .season import CHANGEABLE_FIELDS
from .written import same, written_out

Json = Mapping[str, Any]


@dataclass(frozen=True)
class Edit:
    """Parts of a season with what they are from a day on, None for from the start, and why."""

    parts: Json
    from_day: str | None
    why: str
    shown_on: str


def parts_changed(raw: Json, typed: Json, shown_on: str, book: Rulebook) -> dict[str, Any]:
    """Return the typed parts that say something else than the season does on the day as of which it was shown."""
    now, then = written_out(raw_on(raw, shown_on), book), written_out({**raw_on(raw, shown_on), **typed}, book)
    names = (name for name in CHANGEABLE_FIELDS if name in typed)
    return {name: typed[name] for name in names if not same(now.get(name), then.get(name))}


def edited(raw: Json, edit: Edit) -> dict[str, Any]:
    """Return the season after an edit; raises Refused when another change between the two days sets the same part."""
    if edit.from_day is None:
        return _corrected(raw, edit)
    _refuse_hidden(raw, edit, edit.from_day)
    return _changed(raw, edit, edit.from_day)


def with_all(raw: Json, typed: Json) -> dict[str, Any]:
    """Return a season without changes as it was typed; its edition stays."""
    return merged(raw, typed)


def from_the_start(raw: Json, name: str, value: Any) -> dict[str, Any]:
    """Return the season with one part that is the same on all its days."""
    changes = [_without(change, (name,)) for change in raw.get("changes") or []]
    return _with_changes({**raw, name: value}, changes)


def taken_back(raw: Json, day: str) -> dict[str, Any] | None:
    """Return the season without the change of this day, None when there is none."""
    changes = raw.get("changes") or []
    left = [change for change in changes if change["from"] != day]
    return _with_changes(raw, left) if len(left) < len(changes) else None


def later_of_same(raw: Json, edit: Edit) -> list[str]:
    """Return the days of later changes that set a part of this edit once more."""
    after = max(edit.from_day or edit.shown_on, edit.shown_on)
    return [
        one["from"] for one in raw.get("changes") or [] if one["from"] > after and set(one["set"]) & set(edit.parts)
    ]


def _changed(raw: Json, edit: Edit, day: str) -> dict[str, Any]:
    changes = raw.get("changes") or []
    old: Json = next((change for change in changes if change["from"] == day), {"set": {}})
    group = merged(old["set"], edit.parts)
    before = raw_on(raw, (date.fromisoformat(day) - timedelta(days=1)).isoformat())
    group = {name: value for name, value in group.items() if not same(value, before.get(name))}
    why = edit.why or old.get("why") or ""
    new = {"from": day, "set": group, **({"why": why} if why else {})}
    return _with_changes(raw, sorted([*(one for one in changes if one["from"] != day), new], key=_from))


def _corrected(raw: Json, edit: Edit) -> dict[str, Any]:
    """Return the season with parts corrected in its base, and taken out of the changes that had begun."""
    names = (*edit.parts, *(EVEN_FIELDS if "blocks" in edit.parts else ()))
    changes = [
        _without(change, names) if change["from"] <= edit.shown_on else change for change in raw.get("changes") or []
    ]
    return _with_changes(merged(raw, edit.parts), changes)


def _refuse_hidden(raw: Json, edit: Edit, day: str) -> None:
    low, high = sorted((day, edit.shown_on))
    for change in raw.get("changes") or []:
        if low < change["from"] <= high and set(change["set"]) & set(edit.parts):
            says = f"does not go with the change from {change['from']}, which sets the same"
            raise Refused([Fault("from", f"{says}: choose that day, or take it back")])


def _without(change: Json, names: Iterable[str]) -> dict[str, Any]:
    return {**change, "set": {name: value for name, value in change["set"].items() if name not in names}}


def _with_changes(raw: Json, changes: Iterable[Json]) -> dict[str, Any]:
    """Return the season with these changes, those that set nothing left out."""
    kept = [dict(change) for change in changes if change["set"]]
    whole = {name: value for name, value in raw.items() if name != "changes"}
    return {**whole, "changes": kept} if kept else whole


def _from(change: Json) -> str:
    return str(change["from"])
