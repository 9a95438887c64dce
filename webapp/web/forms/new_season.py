"""The short form of a new season: a few values, from which the rest is proposed."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from wtforms import Field, FieldList, FormField, SelectChoice, SelectField, StringField
from wtforms import Form as PlainForm

from webapp.records.labels import DISCIPLINES
from webapp.rulebook.faults import Fault

from . import typed
from .base import DAY, DEPTH, Form
from .faults import Shown, place

ROWS = 2
_CODES = [SelectChoice(code, f"{code} {words}") for code, words in DISCIPLINES.items()]
_USUAL = "FIM"
_LEVEL = re.compile(r"disciplines\[(\d+)\]\.(\w+)(?:\.\w+)?")
_ASKED = {"goals": "goal_m", "best_m": "comfortable_m"}  # what is made from a typed field is named at that field


class ShortLevelForm(PlainForm):  # type: ignore[misc]  # WTForms brings no types
    """One discipline: where the diver stands, and the goal."""

    discipline = SelectField("Discipline", choices=_CODES, validate_choice=False)
    comfortable_m = StringField("Comfortable depth", render_kw=DEPTH)
    comfortable_on = StringField("Date of that dive", render_kw=DAY)
    goal_m = StringField("Goal", render_kw=DEPTH)

    def is_used(self) -> bool:
        """Tell whether a depth or a date is typed; the choice alone does not count."""
        return any(typed.words(self[name].data) for name in ("comfortable_m", "comfortable_on", "goal_m"))

    def to_wish(self) -> dict[str, Any]:
        """Return one level of a wish."""
        return {
            "discipline": self.discipline.data or None,
            "comfortable_m": typed.number(self.comfortable_m.data),
            "comfortable_on": typed.words(self.comfortable_on.data),
            "goal_m": typed.number(self.goal_m.data),
        }


class NewSeasonForm(Form):
    """The window, the bottom, and one or two disciplines."""

    first_day = StringField("First day", render_kw=DAY)
    last_day = StringField("Last day", render_kw=DAY)
    bottom_m = StringField("Depth of the bottom", render_kw=DEPTH)
    site_name = StringField("Name of the site", render_kw={"autocomplete": "off"})
    levels = FieldList(FormField(ShortLevelForm), min_entries=ROWS, max_entries=ROWS)

    def used(self) -> list[Any]:
        """Return the rows of disciplines that are used: the first one always is."""
        return [row.form for at, row in enumerate(self.levels.entries) if at == 0 or row.form.is_used()]

    def to_wish(self) -> dict[str, Any]:
        """Return what was typed as a wish."""
        return {
            "first_day": typed.words(self.first_day.data),
            "last_day": typed.words(self.last_day.data),
            "site": {"name": typed.words(self.site_name.data) or "", "bottom_m": typed.number(self.bottom_m.data)},
            "levels": [row.to_wish() for row in self.used()],
        }

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults of what was typed beside the fields, each once; blocks are made from the window."""
        for number, row in enumerate(self.levels.entries, start=1):
            for field in row.form:
                field.called = field.label.text if number == 1 else f"Second discipline: {field.label.text}"
        kept: dict[tuple[str, str], Fault] = {}
        for fault in faults:
            if not fault.field.startswith("blocks"):
                field = self.find(fault.field)
                kept.setdefault((field.id if field else "", fault.says), fault)
        return place(kept.values(), self.find)

    def find(self, name: str) -> Field | None:
        """Return the field that a dotted name of SEASON.json was made from."""
        part = _LEVEL.fullmatch(name)
        if part and int(part[1]) < len(self.used()):
            row = self.used()[int(part[1])]
            return row._fields.get(_ASKED.get(part[2], part[2]))
        return self._fields.get("site_name" if name == "site.name" else name.removeprefix("site."))


def typed_start(start: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is known before anything is typed as the form's strings."""
    levels = [{name: typed.show(value) for name, value in level.items()} for level in start["levels"]]
    site = start["site"]
    return {
        "bottom_m": typed.show(site.get("bottom_m")),
        "site_name": typed.show(site.get("name")),
        "levels": [levels[at] if at < len(levels) else {"discipline": _USUAL} for at in range(ROWS)],
    }
