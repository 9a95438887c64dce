"""The season form: between the whole SEASON.json and typed strings, both ways."""

import re
from collections.abc import Iterable, Mapping
from itertools import zip_longest
from typing import Any

from wtforms import Field, FieldList, FormField, HiddenField, SelectChoice, SelectField, StringField, TextAreaField

from webapp.records.labels import DISCIPLINES
from webapp.records.written import WATERS, written_out
from webapp.rulebook.faults import Fault
from webapp.rulebook.rulebook import Rulebook

from . import blocks, typed
from .base import DAY, DEPTH, Form
from .faults import Shown, place
from .holds import HOLDS_PARTS, HoldsForm
from .levels import LEVEL_NUMBERS, LevelForm, typed_level

SITE_NUMBERS = ("bottom_m", "latitude", "temperature_c", "altitude_m", "salinity")
UNMARKED = ("holds", "csrf_token", "site_shown")  # what a change of the outlook never fills in
_INDEXED = re.compile(r"(\w+)\[(\d+)\]\.?(.*)")


class SeasonForm(Form):
    """A season as the diver types it."""

    name = StringField("Name of the season", render_kw={"autocomplete": "off"})
    first_day = StringField("First day", render_kw=DAY)
    last_day = StringField("Last day", render_kw=DAY)
    closed_days = TextAreaField("Closed days", render_kw={"rows": 3, "autocomplete": "off", "spellcheck": "false"})
    site_record = SelectField("Site", choices=[], validate_choice=False)
    site_shown = HiddenField()  # the site that was chosen when the page was shown
    site_name = StringField("Name of the site", render_kw={"autocomplete": "off"})
    bottom_m = StringField("Depth of the bottom", render_kw=DEPTH)
    water = SelectField("Water", choices=[SelectChoice(kind) for kind in WATERS], validate_choice=False)
    latitude = StringField("Latitude", render_kw=DEPTH)
    temperature_c = StringField("Water temperature", render_kw=DEPTH)
    altitude_m = StringField("Altitude of the surface", render_kw=DEPTH)
    salinity = StringField("Salinity", render_kw=DEPTH)
    FIM = FormField(LevelForm)
    CWT = FormField(LevelForm)
    CWTB = FormField(LevelForm)
    CNF = FormField(LevelForm)
    VWT = FormField(LevelForm)
    blocks = FieldList(FormField(blocks.BlockForm), max_entries=blocks.MOST_BLOCKS)
    holds = FormField(HoldsForm)  # only for a season that is there already
    proposed = ""  # what stands at the top when a coach's number is filled in
    filled = ""  # the same for a change of the outlook
    is_filled = False

    def offer_sites(self, sites: Mapping[str, Mapping[str, Any]]) -> None:
        """Offer the diver's sites, the chosen one selected."""
        named = [SelectChoice(record, str(site["name"])) for record, site in sites.items()]
        self.site_record.choices = [SelectChoice("", "Another place: named below"), *named]
        if self.site_record.data not in sites:
            self.site_record.data = ""
        if self.site_shown.data is None:  # a page that comes back still shows the fields of the site it began with
            self.site_shown.data = self.site_record.data

    def levels(self) -> list[tuple[str, str, LevelForm]]:
        """Return (code, words, form) of each discipline, in the order shown."""
        codes = [name for name in self._fields if name in DISCIPLINES]
        return [(code, DISCIPLINES[code], self._fields[code].form) for code in codes]

    def ticked(self) -> list[str]:
        """Return the disciplines that are part of the season."""
        return [code for code, _, level in self.levels() if level.dived.data]

    def to_raw(self, kept: Mapping[str, Any]) -> dict[str, Any]:
        """Return what was typed as SEASON.json, with the parts that other pages edit: rules, diver."""
        ticked = self.ticked()
        return {
            "first_day": typed.words(self.first_day.data),
            "last_day": typed.words(self.last_day.data),
            "closed_days": typed.days(self.closed_days.data),
            "site": {
                "name": typed.words(self.site_name.data) or "",
                "water": self.water.data or WATERS[0],
                **{name: typed.number(self._fields[name].data) for name in SITE_NUMBERS},
                **({"record": self.site_record.data} if self.site_record.data else {}),
            },
            "disciplines": [level.to_raw(code) for code, _, level in self.levels() if level.dived.data],
            "blocks": blocks.to_raw(self.blocks, ticked[0] if len(ticked) == 1 else None),
            **kept,
        }

    def propose(self, part: str, value: float, says: str) -> None:
        """Fill in a number in each discipline of the season, and say beside it whose it is."""
        for _, _, level in self.levels():
            if level.dived.data and part in LEVEL_NUMBERS:
                level[part].data, level[part].description = typed.show(value), says
                self.proposed = says

    def mark_filled(self, before: Mapping[str, Any], beside: str, says: str) -> None:
        """Say at the top what is filled in, and beside each field that differs from these strings that it is new."""
        self.filled = says
        self.is_filled = _mark(self, before, beside) > 0

    def own_faults(self, before: Iterable[str] = ()) -> list[Fault]:
        """Return the faults that only the form can see: a best but no tick, and no name."""
        faults = [] if typed.words(self.name.data) else [Fault("name", "is missing")]
        for code, _, level in self.levels():
            if level.best_m.data and not level.dived.data and code not in before:
                faults.append(Fault(f"{code}.dived", "is not ticked, but a best is typed: tick it or empty the best"))
        return faults

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults beside their fields and return them for the top of the page."""
        blocks.spare(self.blocks)
        self._name_fields()
        return place([self._in_words(fault) for fault in faults], self.find)

    def _in_words(self, fault: Fault) -> Fault:
        """Say in words of the form that no discipline is ticked, or no block typed."""
        if fault.field == "disciplines" and not self.ticked():
            self.levels()[0][2].dived.called = "Disciplines"
            return Fault(fault.field, "need at least one: open it and tick it")
        if fault.field == "blocks" and not blocks.used(self.blocks):
            self.blocks.entries[0].form.first_day.called = "Blocks"
            return Fault(fault.field, "need at least one: its days, its main discipline, dive days and days off")
        return blocks.in_words(fault)

    def find(self, name: str) -> Field | None:
        """Return the field that a dotted name of SEASON.json was typed into."""
        if name == "blocks" or name.startswith("blocks["):
            return blocks.find(self.blocks, name)
        row = _INDEXED.fullmatch(name)
        if row and row[1] == "disciplines":
            return self._level_field(self.ticked()[int(row[2])], row[3].removeprefix("goals."))
        if row and row[1] == "closed_days":
            return self.closed_days
        if name in HOLDS_PARTS:
            return self.holds.form.find(name)
        code, _, rest = name.partition(".")
        if code in DISCIPLINES:
            return self._level_field(code, rest)
        aliases = {"site.name": "site_name", "site.record": "site_record", "disciplines": self.levels()[0][0]}
        found = self._fields.get(aliases.get(name, name.removeprefix("site.")))
        return found.form.dived if isinstance(found, FormField) else found

    def _level_field(self, code: str, name: str) -> Field:
        level = self._fields[code].form
        return level._fields.get(name, level.dived)

    def _name_fields(self) -> None:
        """Let the list at the top say which of five "Best" fields is meant."""
        for code, _, level in self.levels():
            for field in level:
                field.called = f"{code}: {field.label.text}"
        blocks.name_fields(self.blocks)


def _mark(form: Any, before: Mapping[str, Any], beside: str) -> int:
    """Mark the fields of a form and of its parts that differ from these strings; return how many."""
    names = (name for name in form._fields if name not in UNMARKED)
    return sum(_mark_one(form._fields[name], before.get(name), beside) for name in names)


def _mark_one(field: Field, before: Any, beside: str) -> int:
    if isinstance(field, FormField):
        return _mark(field.form, before or {}, beside)
    if isinstance(field, FieldList):
        rows = zip_longest(field.entries, before or [])
        return sum(_mark(entry.form, old or {}, beside) for entry, old in rows if entry)
    if (field.data or "") == (before or ""):
        return 0
    field.description = beside
    return 1


def typed_season(name: str, raw: Mapping[str, Any], book: Rulebook) -> dict[str, Any]:
    """Return a stored season as the form's strings, the way `to_raw` would read them back."""
    raw = written_out(raw, book)
    site = {part: typed.show(typed.dig(raw, f"site.{part}")) for part in ("water", *SITE_NUMBERS)}
    return {
        "name": name,
        **{name: typed.show(raw.get(name)) for name in ("first_day", "last_day")},
        **site,
        "site_name": typed.show(typed.dig(raw, "site.name")),
        "site_record": typed.show(typed.dig(raw, "site.record")),
        "closed_days": typed.show_days(raw.get("closed_days") or []),
        **{level["discipline"]: typed_level(level) for level in raw["disciplines"]},
        "blocks": [blocks.typed_block(block) for block in raw["blocks"]],
    }
