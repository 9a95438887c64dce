"""The forms of the account: name and password."""

from wtforms import PasswordField, StringField

from .base import Form


class AccountForm(Form):
    """A name and a password."""

    name = StringField("Name", render_kw={"autocomplete": "username", "autocapitalize": "none"})
    password = PasswordField("Password", render_kw={"autocomplete": "current-password"})


class SignUpForm(AccountForm):
    """A new name and password; the browser is told that the password is new."""

    password = PasswordField("Password", render_kw={"autocomplete": "new-password"})
