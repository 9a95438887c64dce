"""The rulebook: every number of the trade with its unit, meaning, source and bounds; and a diver's changes to it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from .checks import Faults, is_number


@dataclass(frozen=True)
class Entry:
    """One number (or table of numbers) of the trade."""

    name: str
    value: Any
    unit: str
    meaning: str
    source: str
    min: float | None = None
    max: float | None = None
    whole: bool = False
    columns: Mapping[str, Mapping[str, Any]] | None = None

    @property
    def group(self) -> str:
        """The part of the name before the dot."""
        return self.name.split(".")[0]


@dataclass(frozen=True)
class Rulebook:
    """All entries, and the texts, signs, verdicts and limits that go with them."""

    entries: tuple[Entry, ...]
    texts: Mapping[str, Any]

    @property
    def edition(self) -> int:
        """The number of the edition: it rises when a default changes, and a season says which it was made with."""
        return int(self.texts["edition"])

    def entry(self, name: str) -> Entry:
        """Return the entry of this dotted name; KeyError if there is none."""
        return self.by_name[name]

    def value(self, name: str) -> Any:
        """Return the value of the entry of this dotted name."""
        return self.entry(name).value

    def limit(self, name: str) -> tuple[float, float]:
        """Return the lowest and highest value that the input check accepts for this kind of number."""
        return self.limits[name]

    def with_rules(self, rules: object, field: str = "rules") -> Rulebook:
        """Return the rulebook with a diver's own values; raises Refused with each one that is out of bounds."""
        faults = Faults()
        changed = _changes(self, rules, field, faults)
        faults.refuse_if_any()
        if not changed:
            return self
        return replace(self, entries=tuple(changed.get(entry.name, entry) for entry in self.entries))

    @cached_property
    def limits(self) -> dict[str, tuple[float, float]]:
        """The lowest and highest value of each kind of number that the input check accepts."""
        return {name: (bounds["min"], bounds["max"]) for name, bounds in self.texts["limit"].items()}

    @cached_property
    def by_name(self) -> dict[str, Entry]:
        """The entries by their dotted names."""
        return {entry.name: entry for entry in self.entries}


def parse(text: str, *more: str) -> Rulebook:
    """Return the rulebook written in this TOML text; each of `more` adds tables of words of its own."""
    raw = tomllib.loads(text)
    entries = tuple(Entry(name=name, **fields) for name, fields in raw.pop("entry").items())
    for words in map(tomllib.loads, more):
        if twice := raw.keys() & words.keys():
            raise ValueError(f"stands in two files of the rulebook: {sorted(twice)}")
        raw |= words
    return Rulebook(entries=entries, texts=raw)


def _changes(book: Rulebook, rules: object, field: str, faults: Faults) -> dict[str, Entry]:
    if not isinstance(rules, Mapping):
        faults.add(field, "must be an object of rules by name")
        return {}
    known, retired = book.by_name, book.texts.get("retired", ())
    changed: dict[str, Entry] = {}
    for name, value in rules.items():
        if name in retired:
            continue
        if name not in known:
            faults.add(f"{field}.{name}", "is not a rule of the rulebook")
        elif known[name].columns is not None:
            changed[name] = replace(known[name], value=_table(known[name], value, f"{field}.{name}", faults))
        else:
            entry = known[name]
            own = faults.number(value, f"{field}.{name}", entry.min, entry.max, whole=entry.whole)
            changed[name] = replace(entry, value=own)
    return changed


def _table(entry: Entry, rows: object, field: str, faults: Faults) -> Any:
    """Check the rows of a table: known columns, bounds, a last row without an upper edge, a rising first column."""
    if not isinstance(rows, list) or not rows or not all(isinstance(row, Mapping) for row in rows):
        faults.add(field, "must be a list of at least one row")
        return entry.value
    last = len(rows) - 1
    checked = [_row(entry, row, f"{field}[{index}]", index == last, faults) for index, row in enumerate(rows)]
    key = next(name for name, column in (entry.columns or {}).items() if column.get("last") == "open")
    edges = [row[key] for row in checked[:-1] if is_number(row.get(key))]
    if edges != sorted(set(edges)):
        faults.add(field, f"must rise from row to row in the column {key}")
    return checked


def _row(entry: Entry, row: Mapping[str, Any], field: str, last: bool, faults: Faults) -> dict[str, Any]:
    columns = entry.columns or {}
    for name in row:
        if name not in columns:
            faults.add(f"{field}.{name}", "is not a column of this table")
    checked: dict[str, Any] = {}
    for name, column in columns.items():
        if last and column.get("last") == "open":
            if row.get(name) is not None:
                faults.add(f"{field}.{name}", "must be empty in the last row, which applies to everything beyond")
            continue
        whole = bool(column.get("whole"))
        checked[name] = faults.number(row.get(name), f"{field}.{name}", column["min"], column["max"], whole=whole)
    return checked
