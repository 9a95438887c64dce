"""The form of body, suit, lungs and alarms: between a season's diver and typed strings, both ways."""

from collections.abc import Iterable, Mapping
from typing import Any

from wtforms import BooleanField, Field, FieldList, SelectChoice, SelectField, StringField

from webapp.records.diver import NUMBERS, SEXES
from webapp.rulebook.faults import Fault

from . import typed
from .base import Form
from .faults import Shown, place

_NUMBER = {"inputmode": "decimal", "autocomplete": "off"}
_SEXES = [SelectChoice("", "not said"), *(SelectChoice(sex) for sex in SEXES)]
PREFIX = "diver."
MOST_ROWS = 99  # more than the check accepts, so that the check names the limit


class PersonalForm(Form):
    """What divers say about themselves; everything may stay empty."""

    body_kg = StringField("Mass of the body", render_kw=_NUMBER)
    body_density = StringField("Density of the body", render_kw=_NUMBER)
    suit_l = StringField("Volume of the suit", render_kw=_NUMBER)
    suit_kg = StringField("Mass of the suit", render_kw=_NUMBER)
    lead_kg = StringField("Lead", render_kw=_NUMBER)
    total_l = StringField("Total capacity", render_kw=_NUMBER)
    relaxed_l = StringField("After a passive exhale", render_kw=_NUMBER)
    residual_l = StringField("Residual volume", render_kw=_NUMBER)
    packing_l = StringField("Packing", render_kw=_NUMBER)
    sex = SelectField("Sex", choices=_SEXES, validate_choice=False)
    height_cm = StringField("Height", render_kw=_NUMBER)
    age_years = StringField("Age", render_kw=_NUMBER)
    mouthfill = BooleanField("I use a mouthfill")
    alarms_m = FieldList(StringField("Alarm", render_kw=_NUMBER), max_entries=MOST_ROWS)

    def to_raw(self) -> dict[str, Any]:
        """Return what was typed as the diver of SEASON.json; what is empty is not there."""
        numbers = {name: typed.number(self._fields[name].data) for name in NUMBERS}
        depths = [typed.number(entry.data) for entry in self._used()]
        raw = {"sex": typed.words(self.sex.data), **numbers, "mouthfill": self.mouthfill.data or None}
        return {name: value for name, value in {**raw, "alarms_m": depths or None}.items() if value is not None}

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults beside their fields and return them for the top of the page, in the order of the fields."""
        for number, entry in enumerate(self.alarms_m.entries, start=1):
            entry.called = f"Alarm {number}"
        order = {f"{PREFIX}{name}": position for position, name in enumerate(self._fields)}
        return place(sorted(faults, key=lambda fault: order.get(fault.field.partition("[")[0], -1)), self.find)

    def find(self, name: str) -> Field | None:
        """Return the field that a dotted name of SEASON.json was typed into; none for other parts of the season."""
        own = name.removeprefix(PREFIX)
        if own == name:
            return None
        field, _, row = own.rstrip("]").partition("[")
        if field == "alarms_m":
            return self._used()[int(row)] if row else next(iter(self.alarms_m.entries), None)
        return self._fields.get(field)

    def rows_for(self, alarms: int) -> None:
        """Leave room for this many alarms."""
        while len(self.alarms_m.entries) < alarms:
            self.alarms_m.append_entry("")

    def _used(self) -> list[Field]:
        return [entry for entry in self.alarms_m.entries if typed.words(entry.data)]


def typed_diver(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return a stored diver as the form's strings, the way `to_raw` would read them back."""
    return {
        **{name: typed.show(raw.get(name)) for name in ("sex", *NUMBERS)},
        "mouthfill": bool(raw.get("mouthfill")),
        "alarms_m": [typed.show(depth_m) for depth_m in raw.get("alarms_m") or []],
    }
