"""The account: sign up, sign in, sign out, invite."""

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import accounts, events, offers, passkeys, passwords, sharing
from webapp.web import signin, tries
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.account import AccountForm, SignUpForm
from webapp.web.forms.faults import place

bp = Blueprint("account", __name__, url_prefix="/account")
OFFER = "You can sign in without a password from now on: make a passkey on this device."
CODE_SAYS = "Your recovery code, shown this once. Write it down: it is the way back if the password is lost."
STAYS = "The log stays on the phone, with dives that it has not sent yet: anyone who can unlock it can read them."


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """Show the account."""
    return _account()


@bp.get("/events")
@signin.required
def happened() -> ResponseReturnValue:
    """Show what happened with the account."""
    return render_template("account/events.html", events=events.events(g.user.id), words=events.WORDS)


@bp.route("/sign-up", methods=["GET", "POST"])
@keeps_typed
def sign_up() -> ResponseReturnValue:
    """Make an account: the first freely, later ones with an invitation."""
    form = SignUpForm()
    if not form.is_submitted():
        return _page("account/sign_up.html", form)
    if not form.alive():
        return _refused("account/sign_up.html", form, (_stale(),))
    guessing = tries.tokens() if request.args.get("invite") else []
    waits = _wait("account/sign_up.html", form, guessing)
    if waits:
        return waits
    try:
        name, password = form.name.data or "", form.password.data or ""
        user = accounts.sign_up(name, password, request.args.get("invite"), signin.now())
    except Refused as refused:
        tries.give_back([] if isinstance(refused, accounts.WrongInvitation) else guessing)
        return _refused("account/sign_up.html", form, refused.faults)
    tries.give_back([*guessing, *tries.passwords(name)])
    signin.begin(user.id, None)
    flash("Your account is ready. Next: set up a season.")
    flash(CODE_SAYS, f"code:{passwords.make_recovery(user.id, signin.now())}")
    return redirect(url_for("seasons.new"))


@bp.route("/sign-in", methods=["GET", "POST"])
@keeps_typed
def sign_in() -> ResponseReturnValue:
    """Sign in, and go to the page that was asked for."""
    form = AccountForm()
    if not form.is_submitted():
        return _page("account/sign_in.html", form)
    if not form.alive():
        return _refused("account/sign_in.html", form, (_stale(),))
    return _wait("account/sign_in.html", form) or _try(form)


@bp.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Sign out on this device; what the phone keeps stays there."""
    signin.end()
    if request.form.get("then") == "remove":
        return redirect(url_for("boat.shell", page="phone"))
    flash(f"You are signed out. {STAYS}")
    return redirect(url_for("account.sign_in"))


@bp.post("/sign-out-everywhere")
@signin.required
def sign_out_everywhere() -> ResponseReturnValue:
    """End every sign-in, as after a phone was lost, and what was given to others if the diver says so."""
    ends = {name: name in request.form for name in passwords.ENDS}
    passwords.end_more(g.user.id, signin.now(), **ends)
    accounts.close_all_sign_ins(g.user.id, signin.now())
    signin.end()
    flash(f"You are signed out on every device. {STAYS}")
    return redirect(url_for("account.sign_in"))


@bp.post("/invite")
@signin.required
def invite() -> ResponseReturnValue:
    """Make an invitation link and show it this once."""
    try:
        token = accounts.invite(g.user.id, signin.now())
    except Refused as refused:
        return _account(faults=place(refused.faults, lambda _: None)), 400
    return _account(link=url_for("account.sign_up", invite=token, _external=True))


def _account(**given: Any) -> str:
    links, invitations = sharing.links(g.user.id), accounts.count_invitations(g.user.id, signin.now())
    given |= {"offers": offers.count_open(g.user.id, signin.now())}
    given |= {"has_code": passwords.has_recovery(g.user.id), "passkeys": passkeys.passkeys(g.user.id)}
    return render_template("account/index.html", links=links, invitations=invitations, **given)


def _try(form: AccountForm) -> ResponseReturnValue:
    try:
        user = accounts.sign_in(form.name.data or "", form.password.data or "", signin.now())
    except Refused as refused:
        return _refused("account/sign_in.html", form, refused.faults)
    tries.forget_name(form.name.data or "")
    is_first = not events.has_happened(user.id, "signed_in")
    signin.begin(user.id)
    if is_first and not passkeys.passkeys(user.id):
        flash(OFFER, f"way:{url_for('account.index')}#passkeys-head")
    return redirect(signin.inside(request.args.get("next")))


def _wait(template: str, form: AccountForm, more: Sequence[tries.Counted] = ()) -> ResponseReturnValue | None:
    """Count a try before the slow hash is calculated; return the page that says how long to wait, else None."""
    wait_s = tries.take([*tries.passwords(form.name.data or ""), *more])
    if not wait_s:
        return None
    says = f"Too many tries. Try again in {wait_s} seconds."
    return *_refused(template, form, (Fault("", says),), 429), {"Retry-After": str(wait_s)}


def _stale() -> Fault:
    return Fault("", "This page was open for too long: type the password and send it again")


def _page(template: str, form: AccountForm, faults: Any = ()) -> str:
    around = {"next": request.args.get("next"), "invite": request.args.get("invite")}
    return render_template(template, form=form, faults=faults, first=accounts.is_first(), **around)


def _refused(template: str, form: AccountForm, faults: Any, status: int = 400) -> tuple[str, int]:
    return _page(template, form, place(faults, form.find)), status
