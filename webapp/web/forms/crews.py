"""The forms of a crew and of offers."""

from wtforms import SelectChoice, SelectField, StringField

from .base import Form

# the action says which choices there are; these are the words for them
_SPANS = [SelectChoice(str(days), f"{days} day{'s' * (days > 1)}") for days in (1, 7, 30)]


class CrewForm(Form):
    """What a crew calls itself."""

    title = StringField("Name of the crew", render_kw={"autocomplete": "off"})


class InviteForm(Form):
    """How long a link to join a crew holds."""

    days = SelectField("For how long", choices=_SPANS, default="7", validate_choice=False)


class OfferForm(Form):
    """Who an offer is for, in the diver's own words, and how long it holds; its rights are ticks beside it."""

    label = StringField("Who is it for", render_kw={"autocomplete": "off"})
    days = SelectField("For how long", choices=_SPANS, default="7", validate_choice=False)


def chosen_days(form: InviteForm | OfferForm) -> int:
    """Return the days chosen; -1, which is refused, for anything that is not a number."""
    chosen = form.days.data or ""
    return int(chosen) if chosen.isdecimal() and len(chosen) < 4 else -1
