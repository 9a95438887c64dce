"""What all forms share: the token, and finding the field that a fault names."""

from flask import g
from flask_wtf import FlaskForm
from wtforms import Field

from webapp.rulebook.faults import Fault

DEPTH = {"inputmode": "decimal", "autocomplete": "off"}  # what inputs of these kinds have
COUNT = {"inputmode": "numeric", "autocomplete": "off"}
DAY = {"type": "date"}
STALE = Fault("", "This page was open for too long: send it again")


class Form(FlaskForm):  # type: ignore[misc]  # Flask-WTF brings no types
    """A form that carries a token."""

    def alive(self) -> bool:
        """Return whether this request may change anything: its token and its origin are both valid.

        A refused request reaches the view a second time, to show what was typed. Then the answer is no, even where
        the token alone is valid, as in a form sent from another site.
        """
        return not g.get("token_refused", False) and bool(self.validate())

    def stale(self) -> list[Fault]:
        """Return the fault to show when this request may not change anything, else nothing."""
        return [] if self.alive() else [STALE]

    def find(self, name: str) -> Field | None:
        """Return the field of this name."""
        return self._fields.get(name)
