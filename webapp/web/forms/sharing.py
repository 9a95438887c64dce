"""The form of a buddy link."""

from wtforms import BooleanField, SelectChoice, SelectField, StringField

from .base import Form

# the action says which choices there are; these are the words for them
_SPANS = [
    SelectChoice("", "until I take it back"),
    *(SelectChoice(str(days), f"{days} day{'s' * (days > 1)}") for days in (1, 7, 30, 90)),
]


class LinkForm(Form):
    """Who the link is for, in the diver's own words."""

    label = StringField("Who is it for", render_kw={"autocomplete": "off"})
    days = SelectField("For how long", choices=_SPANS, default="90", validate_choice=False)
    shows_over = BooleanField("Show when the day is over for me")
    shows_crew = BooleanField("Show the order of diving of my crew")
