"""The part of a form that asks from which day an edit of a season holds, and why."""

from typing import Any

from wtforms import Field, HiddenField, RadioField, SelectChoice, StringField
from wtforms import Form as PlainForm

from . import typed
from .base import DAY

HOLDS_PARTS = ("from", "why")  # of a change in SEASON.json
FROM_DAY, FROM_START = "day", "start"
_CHOICES = [
    SelectChoice(FROM_DAY, "It holds from this day on"),
    SelectChoice(FROM_START, "It corrects a mistake from the start"),
]


class HoldsForm(PlainForm):  # type: ignore[misc]  # WTForms brings no types
    """From which day on, or from the start; and as of which day the form was filled."""

    since = RadioField("From when", choices=_CHOICES, validate_choice=False)
    from_day = StringField("This day", render_kw=DAY)
    why = StringField("Why, if you like", render_kw={"autocomplete": "off"})
    shown_on = HiddenField()

    def find(self, name: str) -> Field | None:
        """Return the field of a fault of the day or the reason."""
        return {"from": self.from_day, "why": self.why}.get(name)

    def values(self) -> dict[str, Any]:
        """Return what was typed: a day that is missing stays, so that the check names it."""
        is_start = self.since.data == FROM_START
        return {
            "from_day": None if is_start else typed.words(self.from_day.data) or "",
            "why": "" if is_start else typed.words(self.why.data) or "",
            "shown_on": typed.words(self.shown_on.data) or "",
        }


def typed_holds(from_day: str | None, shown_on: str, why: str = "") -> dict[str, str]:
    """Return the usual answer as the form's strings."""
    return {"since": FROM_DAY if from_day else FROM_START, "from_day": from_day or "", "why": why, "shown_on": shown_on}
