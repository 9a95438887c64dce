"""Passkeys: made on the account page, used on the sign-in page. The script there asks here in JSON."""

from typing import Any
from urllib.parse import urlsplit

from flask import Blueprint, flash, g, jsonify, redirect, request, session, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import passkeys
from webapp.actions.passkeys import Asked, Place
from webapp.web import signin, tries

bp = Blueprint("passkeys", __name__, url_prefix="/passkeys")
ASKED = "passkey_asked"  # in the form cookie: the challenge, for one answer


@bp.post("/add-options")
@signin.required
def add_options() -> ResponseReturnValue:
    """Give the browser what it needs to make a passkey."""
    return _ask(passkeys.ask_to_add(g.user, _place()))


@bp.post("/add")
@signin.required
def add() -> ResponseReturnValue:
    """Keep the passkey that the browser made."""
    sent = _sent()
    label = sent.get("label")
    passkeys.add(
        g.user.id, sent.get("credential"), _was_asked(), _place(), label if isinstance(label, str) else "", signin.now()
    )
    flash("The passkey is made. From now on it signs you in on this device.")
    return jsonify(next=url_for("account.index"))


@bp.post("/<int:passkey_id>/remove")
@signin.required
def remove(passkey_id: int) -> ResponseReturnValue:
    """Remove a passkey."""
    passkeys.remove(g.user.id, passkey_id, signin.now())
    flash("The passkey is removed: it no longer signs anybody in.")
    return redirect(url_for("account.index"))


@bp.post("/options")
def options() -> ResponseReturnValue:
    """Give the browser what it needs to sign somebody in."""
    return _ask(passkeys.ask_to_sign_in(_place()))


@bp.post("/sign-in")
def sign_in() -> ResponseReturnValue:
    """Sign in by a passkey."""
    counted = tries.passkeys()
    tries.take_or_raise(counted)
    user_id = passkeys.sign_in(_sent().get("credential"), _was_asked(), _place(), signin.now())
    tries.give_back(counted)
    signin.begin(user_id, "signed_in_passkey")
    return jsonify(next=signin.inside(request.args.get("next")))


def _ask(asked: Asked) -> ResponseReturnValue:
    session[ASKED] = asked.challenge
    return jsonify(asked.options)


def _was_asked() -> Asked | None:
    """Return what this browser was asked last, for this one answer."""
    challenge = session.pop(ASKED, None)
    return Asked({}, challenge) if isinstance(challenge, str) else None


def _place() -> Place:
    origin = request.host_url.rstrip("/")
    return Place(urlsplit(origin).hostname or "", origin)


def _sent() -> dict[str, Any]:
    sent = request.get_json(silent=True)
    return sent if isinstance(sent, dict) else {}
