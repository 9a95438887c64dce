"""The password: change it, and the two ways back when it is lost."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import accounts, passwords
from webapp.actions.errors import NotFound
from webapp.web import cookies, signin, tries
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.base import STALE, Form
from webapp.web.forms.faults import place
from webapp.web.forms.password import ChangeForm, CodeForm, RecoverForm, ResetForm

bp = Blueprint("password", __name__, url_prefix="/password")


@bp.route("/", methods=["GET", "POST"])
@keeps_typed
@signin.required
def index() -> ResponseReturnValue:
    """Change the password; other sign-ins end."""
    form = ChangeForm()
    if not form.is_submitted():
        return _page("index", form, code=CodeForm(formdata=None))
    if not form.alive():
        return _refused("index", form, [STALE], code=CodeForm(formdata=None))
    tries.take_or_raise(tries.own_password(g.user.id))
    ends = {name: bool(form[name].data) for name in passwords.ENDS}
    old, new = form.old_password.data or "", form.new_password.data or ""
    try:
        passwords.change(g.user.id, old, new, signin.now(), cookies.token(), **ends)
    except Refused as refused:
        return _refused("index", form, refused.faults, code=CodeForm(formdata=None))
    tries.give_back(tries.own_password(g.user.id))
    flash("The password is changed. Every other device is signed out; what it has saved stays on it.")
    return redirect(url_for("account.index"))


@bp.post("/recovery-code")
@keeps_typed
@signin.required
def recovery_code() -> ResponseReturnValue:
    """Make a recovery code and show it this once."""
    form = CodeForm()
    if not form.alive():
        return _refused("index", ChangeForm(formdata=None), [STALE], code=form)
    tries.take_or_raise(tries.own_password(g.user.id))
    if not accounts.is_password(g.user.id, form.password.data or ""):
        accounts.note_refused(g.user.id, signin.now())
        fault = [Fault("password", "is wrong")]
        return _refused("index", ChangeForm(formdata=None), fault, code=form, find=form.find)
    tries.give_back(tries.own_password(g.user.id))
    made = passwords.make_recovery(g.user.id, signin.now())
    return _page("index", ChangeForm(formdata=None), code=CodeForm(formdata=None), made=made)


@bp.route("/reset/<token>", methods=["GET", "POST"])
@keeps_typed
def reset(token: str) -> ResponseReturnValue:
    """Set a new password by a link of the operator."""
    guessing = tries.tokens()
    tries.take_or_raise(guessing)
    if not passwords.is_reset(token, signin.now()):
        raise NotFound
    tries.give_back(guessing)
    form = ResetForm()
    if not form.is_submitted():
        return _page("reset", form, token=token)
    if not form.alive():
        return _refused("reset", form, [STALE], token=token)
    try:
        user = passwords.reset(token, form.new_password.data or "", signin.now())
    except Refused as refused:
        return _refused("reset", form, refused.faults, token=token)
    return _back_in(user.id, "The password is set, and every other device is signed out.")


@bp.route("/recover", methods=["GET", "POST"])
@keeps_typed
def recover() -> ResponseReturnValue:
    """Set a new password by name and recovery code."""
    form = RecoverForm()
    if not form.is_submitted():
        return _page("recover", form)
    if not form.alive():
        return _refused("recover", form, [STALE])
    name = form.name.data or ""
    counted = [*tries.passwords(name), *tries.tokens()]
    tries.take_or_raise(counted)
    try:
        user = passwords.recover(name, form.code.data or "", form.new_password.data or "", signin.now())
    except Refused as refused:
        tries.give_back([] if isinstance(refused, passwords.WrongWayBack) else counted)
        return _refused("recover", form, refused.faults)
    tries.give_back(counted)
    says = "The password is set, and every other device is signed out. The recovery code is used up."
    return _back_in(user.id, says, passwords.make_recovery(user.id, signin.now()))


def _back_in(user_id: int, says: str, code: str = "") -> ResponseReturnValue:
    signin.begin(user_id)
    flash(says)
    if code:
        flash("Your new recovery code, shown this once. Write it down: it is the way back if the password is lost.",
              f"code:{code}")  # fmt: skip
    return redirect(url_for("account.index"))


def _page(name: str, form: Form, faults: Any = (), **given: Any) -> str:
    has_code = bool(g.user) and passwords.has_recovery(g.user.id)
    return render_template(f"password/{name}.html", form=form, faults=faults, has_code=has_code, **given)


def _refused(name: str, form: Form, faults: Any, find: Any = None, **given: Any) -> tuple[str, int]:
    return _page(name, form, place(faults, find or form.find), **given), 400
