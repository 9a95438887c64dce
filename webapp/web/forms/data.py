"""The forms of a diver's data: a phone's file, and the name and password needed for a deletion."""

from flask_wtf.file import FileField
from wtforms import PasswordField, StringField

from .base import Form


class FileForm(Form):
    """A file of unsent dives."""

    file = FileField("File of unsent dives", render_kw={"accept": ".json,application/json"})


class DeleteForm(Form):
    """The account's name, typed again, and the password."""

    typed_name = StringField("Name of this account", render_kw={"autocomplete": "off", "autocapitalize": "none"})
    password = PasswordField("Password", render_kw={"autocomplete": "current-password"})
