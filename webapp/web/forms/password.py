"""The forms of the password: change it, set a new one by a link or by the recovery code, make a new code."""

from wtforms import BooleanField, PasswordField, StringField

from .base import Form

NEW = {"autocomplete": "new-password"}
NOW = {"autocomplete": "current-password"}


class GivenForm(Form):
    """Whether what else leads into the account, or was given to others, ends too."""

    passkeys_too = BooleanField("Remove all passkeys too")
    links_too = BooleanField("Take back all buddy links too")
    invitations_too = BooleanField("End open invitations too")
    offers_too = BooleanField("Take back open links that share the log or open a crew too")


class ChangeForm(GivenForm):
    """The password until now, and the new one."""

    old_password = PasswordField("Current password", render_kw=NOW)
    new_password = PasswordField("New password", render_kw=NEW)


class ResetForm(Form):
    """A new password."""

    new_password = PasswordField("New password", render_kw=NEW)


class RecoverForm(Form):
    """Name, recovery code and a new password."""

    name = StringField("Name", render_kw={"autocomplete": "username", "autocapitalize": "none"})
    code = StringField("Recovery code", render_kw={"autocomplete": "off", "autocapitalize": "characters"})
    new_password = PasswordField("New password", render_kw=NEW)


class CodeForm(Form):
    """The password, which is asked for before a new recovery code is made."""

    password = PasswordField("Password", render_kw=NOW)
