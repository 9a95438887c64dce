"""The rulebook's page as typed cells: one cell for each number, a grid of cells for each table.

A cell's name is rule:NAME for a number and rule:NAME:ROW:COLUMN for a table.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from wtforms import FormField

from webapp.rulebook.faults import Fault
from webapp.rulebook.rulebook import Entry, Rulebook

from . import typed
from .base import Form
from .faults import Shown, place, sentence
from .holds import HOLDS_PARTS, HoldsForm

SPARE_ROWS = 2
MOST_ROWS = 100
GROUPS = {  # the words that a diver looks for; other groups keep their own name
    "start": "Starting depth",
    "spacing": "Spacing of deep dives",
    "clean": "Clean dive",
    "hard": "Hard dive",
    "turned": "Turned dive",
    "second_dive": "Second deep dive of a day",
    "easy": "Easy day",
    "lmc": "LMC",
    "hurt": "Possible injury",
    "resume": "After a stand-down",
    "warm_up": "Warm-up",
    "interval": "Surface interval",
    "pace": "Pace on the way",
    "fall": "Free fall",
    "card": "Dive card",
    "safety": "Safety diver",
    "overdue": "Overdue dive",
    "clock": "Dive clock",
    "crew": "Run order of a crew",
    "repetition": "Repeated dives",
    "setup": "Proposal for the next season",
    "looking_back": "Looking back",
}
_UNITS = re.compile(r"_(m|s|c)$")
_ROW = re.compile(r"(.+)\[(\d+)\](?:\.(\w+))?")


class RulesForm(Form):
    """Carries the token, and from when the rules hold; the cells come from the rulebook."""

    holds = FormField(HoldsForm)

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults of the day and the reason beside their fields and return them."""
        return place([fault for fault in faults if fault.field in HOLDS_PARTS], self.holds.form.find)

    def others(self, faults: Iterable[Fault]) -> list[Fault]:
        """Return the faults of the cells, and of the season as a whole."""
        return [fault for fault in faults if fault.field not in HOLDS_PARTS]


class Read(NamedTuple):
    """What was typed: the season's own rules, and which typed row each checked row of a table came from."""

    rules: dict[str, Any]
    places: dict[str, list[int]]


class Cell(NamedTuple):
    """One input: its name and id, what is typed in it, the words for it, and what is wrong with it."""

    name: str
    id: str
    value: str
    label: str
    faults: tuple[str, ...]


class ShownRule(NamedTuple):
    """One entry as the page shows it: its words, its cells row by row, and whether the season has its own value."""

    entry: Entry
    words: str
    short: str
    id: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    book_rows: tuple[tuple[str, ...], ...]
    faults: tuple[str, ...]
    own: bool


def called(name: str) -> str:
    """Return a dotted or underscored name in words: "ladder.step_m" is "Ladder: step"."""
    group, _, rest = name.partition(".")
    parts = [_UNITS.sub("", part).replace("_", " ") for part in (GROUPS.get(group, group), rest) if part]
    return ": ".join((parts[0][:1].upper() + parts[0][1:], *parts[1:]))


def typed_rules(rules: Mapping[str, Any], book: Rulebook) -> dict[str, str]:
    """Return the season's own rules as cells; tables without own rows show the book's."""
    cells: dict[str, str] = {}
    for entry in book.entries:
        if not entry.columns:
            cells[f"rule:{entry.name}"] = typed.show(rules.get(entry.name))
            continue
        for index, row in enumerate(rules.get(entry.name, entry.value)):
            for column in entry.columns:
                cells[f"rule:{entry.name}:{index}:{column}"] = typed.show(row.get(column))
    return cells


def without(cells: Mapping[str, str], name: str) -> dict[str, str]:
    """Return the cells with those of one entry emptied: it gets the book's value again."""
    mine = f"rule:{name}"
    return {cell: "" if cell == mine or cell.startswith(f"{mine}:") else text for cell, text in cells.items()}


def read(cells: Mapping[str, str], book: Rulebook) -> Read:
    """Return the season's own rules; leave out empty numbers, and tables that are empty or as in the book."""
    found = Read({}, {})
    for entry in book.entries:
        if entry.columns:
            _read_table(cells, entry, found)
        elif (value := typed.number(cells.get(f"rule:{entry.name}"))) is not None:
            found.rules[entry.name] = value
    return found


def _read_table(cells: Mapping[str, str], entry: Entry, found: Read) -> None:
    """Read the rows that have anything typed, sorted by the column that rises; the open row comes last."""
    rows = [(index, _read_row(cells, entry, index)) for index in range(_row_count(cells, entry))]
    rows = [(index, row) for index, row in rows if row]
    key = _key(entry)
    rows.sort(key=lambda pair: (pair[1].get(key) is None, _rising(pair[1].get(key))))
    if rows and [row for _, row in rows] != [dict(row) for row in entry.value]:
        found.rules[entry.name] = [row for _, row in rows]
        found.places[entry.name] = [index for index, _ in rows]


def _read_row(cells: Mapping[str, str], entry: Entry, index: int) -> dict[str, Any]:
    values = {column: typed.number(cells.get(f"rule:{entry.name}:{index}:{column}")) for column in entry.columns or {}}
    return {column: value for column, value in values.items() if value is not None}


def _rising(value: Any) -> float:
    return value if isinstance(value, (int, float)) else 0.0


def _key(entry: Entry) -> str:
    return next(name for name, column in (entry.columns or {}).items() if column.get("last") == "open")


def _row_count(cells: Mapping[str, str], entry: Entry) -> int:
    start = f"rule:{entry.name}:"
    places = {str(index): index for index in range(MOST_ROWS)}  # a cell that no page has is ignored, whatever its name
    rows = [places.get(name[len(start) :].split(":")[0], -1) for name in cells if name.startswith(start)]
    return max(rows, default=-1) + 1


def groups(
    book: Rulebook, cells: Mapping[str, str], faults: Iterable[Fault], places: Mapping[str, list[int]]
) -> dict[str, list[ShownRule]]:
    """Return every entry with its cells and faults, by its group, in the book's order."""
    beside: dict[str, list[str]] = {}
    for fault in faults:
        beside.setdefault(cell_of(fault.field, places), []).append(sentence("", fault.says))
    rules: dict[str, list[ShownRule]] = {}
    for entry in book.entries:
        rules.setdefault(called(entry.group), []).append(_shown_rule(entry, cells, beside))
    return rules


def cell_of(field: str, places: Mapping[str, list[int]]) -> str:
    """Return the name of the cell that a fault such as rules.spacing[1].to_m is about."""
    name = field.removeprefix("rules.")
    row = _ROW.fullmatch(name)
    if not row:
        return f"rule:{name}"
    index = int(row[2])
    typed_rows = places.get(row[1], [])
    shown_row = typed_rows[index] if index < len(typed_rows) else index
    return f"rule:{row[1]}:{shown_row}" + (f":{row[3]}" if row[3] else "")


def all_shown(
    groups: Mapping[str, list[ShownRule]], faults: Iterable[Fault], places: Mapping[str, list[int]]
) -> list[Shown]:
    """Return every fault for the top of the page, with the id of its cell."""
    every = [rule for rules in groups.values() for rule in rules]
    ids = {cell.name: cell.id for rule in every for row in rule.rows for cell in row}
    heads = {f"rule:{rule.entry.name}": rule.id for rule in every}
    shown = []
    for fault in faults:
        name = cell_of(fault.field, places)
        entry = name.removeprefix("rule:").split(":")[0]
        subject = called(entry) if fault.field else ""
        shown.append(Shown(ids.get(name) or heads.get(f"rule:{entry}", ""), sentence(subject, fault.says)))
    return shown


def _shown_rule(entry: Entry, cells: Mapping[str, str], beside: Mapping[str, list[str]]) -> ShownRule:
    words, mine = called(entry.name), f"rule:{entry.name}"
    short = called(entry.name.rpartition(".")[2])
    if not entry.columns:
        cell = _cell(mine, f"{words}, own value", cells, beside)
        return ShownRule(entry, words, short, _id(mine), (), ((cell,),), (), (), bool(cell.value))
    count = _row_count(cells, entry) or len(entry.value)
    rows = tuple(
        tuple(_cell(f"{mine}:{row}:{name}", f"{called(name)}, row {row + 1}", cells, beside) for name in entry.columns)
        for row in range(count + SPARE_ROWS)
    )
    book_rows = tuple(tuple(typed.show(row.get(name)) for name in entry.columns) for row in entry.value)
    found = [says for name, list_ in beside.items() if name == mine or _whole_row(name, mine) for says in list_]
    own = mine[5:] in read(cells, Rulebook((entry,), {})).rules
    columns = tuple(map(called, entry.columns))
    return ShownRule(entry, words, short, _id(mine), columns, rows, book_rows, tuple(found), own)


def _whole_row(name: str, mine: str) -> bool:
    return name.startswith(f"{mine}:") and name[len(mine) + 1 :].isdigit()


def _cell(name: str, label: str, cells: Mapping[str, str], beside: Mapping[str, list[str]]) -> Cell:
    return Cell(name, _id(name), cells.get(name, ""), label, tuple(beside.get(name, ())))


def _id(name: str) -> str:
    return name.replace(":", "-").replace(".", "-")
