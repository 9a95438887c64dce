"""The season form: between the whole SEASON.json and typed strings, both ways."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from wtforms import BooleanField, Field, FieldList, FormField, SelectChoice, SelectField, StringField, TextAreaField
from wtforms import Form as PlainForm

from webapp.records.model import DISCIPLINES, GOALS
from webapp.records.season import WATERS
from webapp.rulebook.faults import Fault

from . import typed
from .base import Form
from .faults import Shown, place

CALLED = {
    "CWT": "constant weight",
    "CWTB": "constant weight, two fins",
    "CNF": "no fins",
    "FIM": "free immersion",
    "VWT": "variable weight",
}
DAY_NUMBERS = ("days_on", "days_off", "block_days", "break_days")
SITE_NUMBERS = ("bottom_m", "latitude", "temperature_c", "altitude_m", "salinity")
LEVEL_NUMBERS = ("best_m", "comfortable_m", "start_m", "step_m", "repeats")
DRILL_PARTS = ("discipline", "depth_m", "dives")
LEAD_ROWS = 4  # rows shown at first; two empty ones are always left to fill
LEAD_SPARE = 2
MOST_LEADS = 99

_DEPTH = {"inputmode": "decimal", "autocomplete": "off"}
_COUNT = {"inputmode": "numeric", "autocomplete": "off"}
_DAY = {"type": "date"}
_CODES = [SelectChoice(code, f"{code} {words}") for code, words in CALLED.items()]
_LEADS = [SelectChoice("", "same as the block before"), *_CODES]
_DRILLS = [SelectChoice("", "no drill"), *_CODES]
_INDEXED = re.compile(r"(\w+)\[(\d+)\]\.?(.*)")


class LevelForm(PlainForm):  # type: ignore[misc]  # WTForms brings no types
    """Where the diver stands in one discipline, and where they want to go."""

    dived = BooleanField("Part of this season")
    best_m = StringField("Best", render_kw=_DEPTH)
    comfortable_m = StringField("Comfortable depth", render_kw=_DEPTH)
    comfortable_on = StringField("Date of that dive", render_kw=_DAY)
    start_m = StringField("Own start depth", render_kw=_DEPTH)
    step_m = StringField("Step", render_kw=_DEPTH)
    repeats = StringField("Clean dives for each depth", render_kw=_COUNT)
    floor_m = StringField("Floor", render_kw=_DEPTH)
    aim_m = StringField("Aim", render_kw=_DEPTH)
    dream_m = StringField("Dream", render_kw=_DEPTH)

    def to_raw(self, code: str) -> dict[str, Any]:
        """Return one entry of SEASON.json's disciplines."""
        raw: dict[str, Any] = {name: typed.number(self[name].data) for name in LEVEL_NUMBERS}
        goals = {name: typed.number(self[name].data) for name in GOALS}
        return {
            "discipline": code,
            **raw,
            "comfortable_on": typed.words(self.comfortable_on.data),
            "goals": {name: depth_m for name, depth_m in goals.items() if depth_m is not None},
        }


class SeasonForm(Form):
    """A season as the diver types it."""

    name = StringField("Name of the season", render_kw={"autocomplete": "off"})
    first_day = StringField("First day", render_kw=_DAY)
    last_day = StringField("Last day", render_kw=_DAY)
    days_on = StringField("Dive days in a row", render_kw=_COUNT)
    days_off = StringField("Days off after them", render_kw=_COUNT)
    block_days = StringField("Days of a block", render_kw=_COUNT)
    break_days = StringField("Days between blocks", render_kw=_COUNT)
    closed_days = TextAreaField("Closed days", render_kw={"rows": 3, "autocomplete": "off", "spellcheck": "false"})
    site_name = StringField("Name of the site", render_kw={"autocomplete": "off"})
    bottom_m = StringField("Depth of the bottom", render_kw=_DEPTH)
    water = SelectField("Water", choices=[SelectChoice(kind) for kind in WATERS], validate_choice=False)
    latitude = StringField("Latitude", render_kw=_DEPTH)
    temperature_c = StringField("Water temperature", render_kw=_DEPTH)
    altitude_m = StringField("Altitude of the surface", render_kw=_DEPTH)
    salinity = StringField("Salinity", render_kw=_DEPTH)
    FIM = FormField(LevelForm)
    CWT = FormField(LevelForm)
    CWTB = FormField(LevelForm)
    CNF = FormField(LevelForm)
    VWT = FormField(LevelForm)
    lead = FieldList(
        SelectField("Main discipline", choices=_LEADS, validate_choice=False),
        min_entries=LEAD_ROWS,
        max_entries=MOST_LEADS,
    )
    drill_discipline = SelectField("Discipline of the drill", choices=_DRILLS, validate_choice=False)
    drill_depth_m = StringField("Depth of the drill", render_kw=_DEPTH)
    drill_dives = StringField("Drill dives on a dive day", render_kw=_COUNT)

    def levels(self) -> list[tuple[str, str, LevelForm]]:
        """Return (code, words, form) of each discipline, in the order shown."""
        codes = [name for name in self._fields if name in DISCIPLINES]
        return [(code, CALLED[code], self._fields[code].form) for code in codes]

    def ticked(self) -> list[str]:
        """Return the disciplines that are part of the season."""
        return [code for code, _, level in self.levels() if level.dived.data]

    def to_raw(self, kept: Mapping[str, Any]) -> dict[str, Any]:
        """Return what was typed as SEASON.json, with the parts that other pages edit: rules, diver."""
        return {
            "first_day": typed.words(self.first_day.data),
            "last_day": typed.words(self.last_day.data),
            **{name: typed.number(self._fields[name].data) for name in DAY_NUMBERS},
            **self._one_block(),
            "closed_days": typed.days(self.closed_days.data),
            "site": {
                "name": typed.words(self.site_name.data) or "",
                "water": self.water.data or WATERS[0],
                **{name: typed.number(self._fields[name].data) for name in SITE_NUMBERS},
            },
            "disciplines": [level.to_raw(code) for code, _, level in self.levels() if level.dived.data],
            "lead": self._lead(),
            "drill": self._drill(),
            **kept,
        }

    def _one_block(self) -> dict[str, int]:
        """Return one block from the first day to the last when no blocks were typed, else nothing."""
        if typed.words(self.block_days.data) or typed.words(self.break_days.data):
            return {}
        return {"block_days": typed.length(self.first_day.data, self.last_day.data), "break_days": 0}

    def own_faults(self, before: Iterable[str] = ()) -> list[Fault]:
        """Return the faults that only the form can see: a best but no tick, and no name."""
        faults = [] if typed.words(self.name.data) else [Fault("name", "is missing")]
        for code, _, level in self.levels():
            if level.best_m.data and not level.dived.data and code not in before:
                faults.append(Fault(f"{code}.dived", "is not ticked, but a best is typed: tick it or empty the best"))
        return faults

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults beside their fields and return them for the top of the page."""
        self._name_fields()
        return place([fault for fault in map(self._in_words, faults) if fault], self.find)

    def _in_words(self, fault: Fault) -> Fault | None:
        """Say once, for the whole list, that no discipline is ticked: the check also misses the main discipline."""
        if self.ticked() or fault.field not in ("disciplines", "lead"):
            return fault
        if fault.field == "lead":
            return None
        self.levels()[0][2].dived.called = "Disciplines"
        return Fault(fault.field, "need at least one: open it and tick it")

    def find(self, name: str) -> Field | None:
        """Return the field that a dotted name of SEASON.json was typed into."""
        row = _INDEXED.fullmatch(name)
        if row and row[1] == "disciplines":
            return self._level_field(self.ticked()[int(row[2])], row[3].removeprefix("goals."))
        if row and row[1] == "lead":
            return self.lead.entries[min(int(row[2]), len(self.lead.entries) - 1)]
        if row and row[1] == "closed_days":
            return self.closed_days
        code, _, rest = name.partition(".")
        if code in DISCIPLINES:
            return self._level_field(code, rest)
        aliases = {"site.name": "site_name", "lead": "lead", "disciplines": self.levels()[0][0]}
        found = self._fields.get(aliases.get(name, name.removeprefix("site.").replace("drill.", "drill_")))
        if isinstance(found, FieldList):
            return found.entries[0]
        return found.form.dived if isinstance(found, FormField) else found

    def _level_field(self, code: str, name: str) -> Field:
        level = self._fields[code].form
        return level._fields.get(name, level.dived)

    def _name_fields(self) -> None:
        """Let the list at the top say which of five "Best" fields is meant."""
        for code, _, level in self.levels():
            for field in level:
                field.called = f"{code}: {field.label.text}"
        for number, entry in enumerate(self.lead.entries, start=1):
            entry.called = f"Main discipline of block {number}"

    def _lead(self) -> list[str]:
        """Return each block's main discipline; an empty row repeats the one before, empty last rows are left out."""
        chosen = [entry.data or "" for entry in self.lead.entries]
        while chosen and not chosen[-1]:
            chosen.pop()
        first = self.ticked()[:1]
        lead: list[str] = []
        for code in chosen or (first if len(self.ticked()) == 1 else []):
            lead.append(code or (lead[-1] if lead else (first or [""])[0]))
        return lead

    def _drill(self) -> dict[str, Any] | None:
        depth_m, dives = typed.number(self.drill_depth_m.data), typed.number(self.drill_dives.data)
        if not self.drill_discipline.data and depth_m is None and dives is None:
            return None
        return {"discipline": self.drill_discipline.data or None, "depth_m": depth_m, "dives": dives}

    def spare_leads(self) -> None:
        """Leave empty rows to fill below the ones in use."""
        used = max((number for number, entry in enumerate(self.lead.entries, start=1) if entry.data), default=0)
        while len(self.lead.entries) < min(used + LEAD_SPARE, MOST_LEADS):
            self.lead.append_entry("")


def typed_season(name: str, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return a stored season as the form's strings, the way `to_raw` would read them back."""
    flat = {name: typed.show(typed.dig(raw, name)) for name in ("first_day", "last_day", *DAY_NUMBERS)}
    drill = {f"drill_{part}": typed.show(typed.dig(raw, f"drill.{part}")) for part in DRILL_PARTS}
    site = {part: typed.show(typed.dig(raw, f"site.{part}")) for part in ("water", *SITE_NUMBERS)}
    levels = {level["discipline"]: _typed_level(level) for level in raw.get("disciplines") or []}
    return {
        "name": name,
        **flat,
        **drill,
        **site,
        "site_name": typed.show(typed.dig(raw, "site.name")),
        "closed_days": typed.show_days(raw.get("closed_days") or []),
        **levels,
        "lead": list(raw.get("lead") or []),
    }


def _typed_level(level: Mapping[str, Any]) -> dict[str, Any]:
    goals = {name: typed.show(typed.dig(level, f"goals.{name}")) for name in GOALS}
    numbers = {name: typed.show(level.get(name)) for name in (*LEVEL_NUMBERS, "comfortable_on")}
    return {"dived": True, **numbers, **goals}
