"""What all forms share: the token, and the way back from the check's names to the fields."""

from flask import g
from flask_wtf import FlaskForm
from wtforms import Field

from webapp.rulebook.faults import Fault

STALE = Fault("", "This page had been open too long: send it once more")


class Form(FlaskForm):  # type: ignore[misc]  # Flask-WTF brings no types
    """A form that carries a token."""

    def alive(self) -> bool:
        """Tell whether this request may act: its token and its origin were both good.

        A refused request is given to the view a second time, to show what was typed; then this says no, also where
        the token alone would pass, as in a form sent from another site.
        """
        return not g.get("token_refused", False) and bool(self.validate())

    def stale(self) -> list[Fault]:
        """Return what to tell when this request may not act, else nothing."""
        return [] if self.alive() else [STALE]

    def find(self, name: str) -> Field | None:
        """Return the field of this name."""
        return self._fields.get(name)
