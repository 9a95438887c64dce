"""The forms of the account: who, and the password."""

from flask_wtf import FlaskForm
from wtforms import Field, PasswordField, StringField


class AccountForm(FlaskForm):
    """A name and a password."""

    name = StringField("Name", render_kw={"autocomplete": "username", "autocapitalize": "none", "maxlength": 200})
    password = PasswordField("Password", render_kw={"autocomplete": "current-password", "maxlength": 1000})

    def find(self, name: str) -> Field | None:
        """Return the field of this name."""
        return self._fields.get(name)


class SignUpForm(AccountForm):
    """A new name and password; the browser is told that the password is new."""

    password = PasswordField("Password", render_kw={"autocomplete": "new-password", "maxlength": 1000})
