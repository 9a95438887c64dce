"""The part of the season form about its blocks: rows of blocks, each with rows of drills; empty rows do not count."""

import re
from collections.abc import Mapping
from typing import Any

from wtforms import Field, FieldList, FormField, SelectChoice, SelectField, StringField
from wtforms import Form as PlainForm

from webapp.records.labels import DISCIPLINES
from webapp.rulebook.faults import Fault

from . import typed
from .base import COUNT, DAY, DEPTH

SPARE = 2  # empty rows of blocks that are always left to fill
SPARE_DRILLS = 1
MOST_BLOCKS = 99  # more than the check accepts, so that the check names the limit
MOST_DRILLS = 4
BLOCK_PARTS = ("first_day", "last_day", "main", "days_on", "days_off")
DRILL_PARTS = ("discipline", "depth_m", "percent", "dives", "focus")
PERCENT = 100

_CODES = [SelectChoice(code, f"{code} {words}") for code, words in DISCIPLINES.items()]
_MAINS = [SelectChoice("", "as the block before"), *_CODES]
_DRILLS = [SelectChoice("", "no drill"), *_CODES]
_PART = re.compile(r"blocks\[(\d+)\](?:\.(\w+)(?:\[(\d+)\](?:\.(\w+))?)?)?")
_SHARES = re.compile(r"from ([\d.]+) to ([\d.]+)(, not .+)?$")


class DrillForm(PlainForm):  # type: ignore[misc]  # WTForms brings no types
    """Technique dives of a dive day."""

    discipline = SelectField("Discipline", choices=_DRILLS, validate_choice=False)
    depth_m = StringField("Depth", render_kw=DEPTH)
    percent = StringField("Share", render_kw=DEPTH)
    dives = StringField("Dives", render_kw=COUNT)
    focus = StringField("Focus", render_kw={"autocomplete": "off"})

    def is_used(self) -> bool:
        """Tell whether anything is typed in this row."""
        return any(typed.words(self[name].data) for name in DRILL_PARTS)

    def to_raw(self) -> dict[str, Any]:
        """Return one drill of SEASON.json."""
        share = typed.number(self.percent.data)
        return {
            "discipline": self.discipline.data or None,
            "depth_m": typed.number(self.depth_m.data),
            "share": share if isinstance(share, str) or share is None else round(share / PERCENT, 4),
            "dives": typed.number(self.dives.data),
            "focus": typed.words(self.focus.data) or "",
        }


class BlockForm(PlainForm):  # type: ignore[misc]
    """A run of days with one main discipline, one rhythm and its drills."""

    first_day = StringField("First day", render_kw=DAY)
    last_day = StringField("Last day", render_kw=DAY)
    main = SelectField("Main discipline", choices=_MAINS, validate_choice=False)
    days_on = StringField("Dive days in a row", render_kw=COUNT)
    days_off = StringField("Days off after them", render_kw=COUNT)
    drills = FieldList(FormField(DrillForm), max_entries=MOST_DRILLS)

    def used_drills(self) -> list[Any]:
        """Return the rows of drills that something is typed in."""
        return [entry.form for entry in self.drills.entries if entry.form.is_used()]

    def is_used(self) -> bool:
        """Tell whether anything is typed in this row or in its drills."""
        return any(typed.words(self[name].data) for name in BLOCK_PARTS) or bool(self.used_drills())

    def has_faults(self) -> bool:
        """Tell whether a fault stands beside one of its fields or of its drills' fields."""
        fields = [self[name] for name in BLOCK_PARTS]
        return any(field.errors for field in [*fields, *(one for row in self.drills.entries for one in row.form)])

    def is_filled(self) -> bool:
        """Tell whether one of its fields is filled in by a change of the outlook."""
        return any(self[name].description for name in BLOCK_PARTS)

    def to_raw(self, main: str | None) -> dict[str, Any]:
        """Return one block of SEASON.json; `main` is its main discipline where none is chosen."""
        return {
            "first_day": typed.words(self.first_day.data),
            "last_day": typed.words(self.last_day.data),
            "main": self.main.data or main,
            "days_on": typed.number(self.days_on.data),
            "days_off": typed.number(self.days_off.data),
            "drills": [drill.to_raw() for drill in self.used_drills()],
        }


def used(blocks: FieldList) -> list[Any]:
    """Return the rows of blocks that something is typed in."""
    return [entry.form for entry in blocks.entries if entry.form.is_used()]


def to_raw(blocks: FieldList, only: str | None) -> list[dict[str, Any]]:
    """Return what was typed as blocks; a main discipline left open is that of the block before, or the `only` one."""
    found: list[dict[str, Any]] = []
    for block in used(blocks):
        found.append(block.to_raw(found[-1]["main"] if found else only))
    return found


def spare(blocks: FieldList) -> None:
    """Leave empty rows of blocks, and of drills in each block, to fill below those in use."""
    _spare(blocks, SPARE, MOST_BLOCKS)
    for block in blocks.entries:
        _spare(block.form.drills, SPARE_DRILLS, MOST_DRILLS)


def find(blocks: FieldList, name: str) -> Field | None:
    """Return the field that a dotted name such as blocks[1].drills[0].share was typed into."""
    part = _PART.fullmatch(name)
    rows = used(blocks)
    if not part or int(part[1]) >= len(rows):
        return blocks.entries[0].form.first_day if blocks.entries and not rows else None
    block = rows[int(part[1])]
    if part[2] != "drills":
        return block._fields.get(part[2] or "", block.first_day)
    drills = block.used_drills()
    drill = drills[int(part[3])] if part[3] and int(part[3]) < len(drills) else None
    if drill is None:
        return block.first_day
    return drill._fields.get("percent" if part[4] == "share" else part[4] or "", drill.discipline)


def in_words(fault: Fault) -> Fault:
    """Return a fault of a share as one of the percent that was typed."""
    if not fault.field.endswith(".share"):
        return fault
    return Fault(fault.field, _SHARES.sub(_as_percent, fault.says))


def _as_percent(found: re.Match[str]) -> str:
    low, high = (float(share) * PERCENT for share in found.groups()[:2])
    return f"of percent from {low:g} to {high:g}"


def name_fields(blocks: FieldList) -> None:
    """Let the list of faults say which block and which drill a field is in."""
    for number, entry in enumerate(blocks.entries, start=1):
        for name in BLOCK_PARTS:
            entry.form[name].called = f"Block {number}: {entry.form[name].label.text}"
        for place, drill in enumerate(entry.form.drills.entries, start=1):
            for field in drill.form:
                field.called = f"Block {number}, drill {place}: {field.label.text}"


def typed_block(block: Mapping[str, Any]) -> dict[str, Any]:
    """Return a stored block as the form's strings."""
    drills = [_typed_drill(drill) for drill in block.get("drills") or []]
    return {**{name: typed.show(block.get(name)) for name in BLOCK_PARTS}, "drills": drills}


def _typed_drill(drill: Mapping[str, Any]) -> dict[str, str]:
    share = drill.get("share")
    percent = typed.show(None if share is None else round(share * PERCENT, 2))
    return {**{name: typed.show(drill.get(name)) for name in DRILL_PARTS}, "percent": percent}


def _spare(rows: FieldList, spare: int, most: int) -> None:
    count = max((at for at, entry in enumerate(rows.entries, start=1) if entry.form.is_used()), default=0)
    while len(rows.entries) < min(count + spare, most):
        rows.append_entry({})
