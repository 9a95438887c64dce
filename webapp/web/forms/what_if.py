"""The form that asks what lost days, another rhythm or another goal would do."""

from collections.abc import Iterable
from typing import Any

from wtforms import Field, SelectChoice, SelectField, StringField

from webapp.records.labels import GOALS
from webapp.rulebook.faults import Fault

from . import typed
from .base import COUNT, DAY, DEPTH, Form
from .faults import Shown, place

NUMBERS = ("days_on", "days_off", "goal_m")
WORDS = ("lost_from", "lost_to", "goal_of", "goal", "from_day", "why")
NAMES = {"from_day": "from"}  # a part of a change in SEASON.json


class WhatIfForm(Form):
    """What is asked for, from which day on, and why; everything but the day may stay empty."""

    lost_from = StringField("First lost day", render_kw=DAY)
    lost_to = StringField("Last lost day", render_kw=DAY)
    days_on = StringField("Dive days in a row", render_kw=COUNT)
    days_off = StringField("Days off after them", render_kw=COUNT)
    goal_of = SelectField("Discipline", choices=[], validate_choice=False)
    goal = SelectField("Goal", choices=[SelectChoice(*goal) for goal in GOALS.items()], validate_choice=False)
    goal_m = StringField("Its depth", render_kw=DEPTH)
    from_day = StringField("It holds from this day on", render_kw=DAY)
    why = StringField("Why", render_kw={"autocomplete": "off"})

    def offer(self, disciplines: Iterable[str], from_day: str) -> None:
        """Offer the disciplines of the season, and fill in the usual day where the form is new."""
        self.goal_of.choices = [SelectChoice(code, code) for code in disciplines]
        if not self.is_submitted():
            self.from_day.data, self.goal.data = from_day, "aim_m"

    def asked(self) -> dict[str, Any]:
        """Return what was typed as plain values; what cannot be read stays, so that the check names it."""
        numbers = {name: typed.number(self._fields[name].data) for name in NUMBERS}
        return {**numbers, **{NAMES.get(name, name): typed.words(self._fields[name].data) for name in WORDS}}

    def show(self, faults: Iterable[Fault]) -> list[Shown]:
        """Put the faults beside their fields and return them for the top of the page, in the order of the fields."""
        order = {NAMES.get(name, name): at for at, name in enumerate(self._fields)}
        return place(sorted(faults, key=lambda fault: order.get(fault.field, -1)), self.find)

    def find(self, name: str) -> Field | None:
        """Return the field of this name."""
        return self._fields.get("from_day" if name == "from" else name)
