"""The form of a buddy link."""

from wtforms import StringField

from .base import Form


class LinkForm(Form):
    """For whom the link is, in the diver's own words."""

    label = StringField("For whom", render_kw={"autocomplete": "off"})
