"""What somebody offers by a link: shown first, taken only by a button."""

from collections.abc import Iterable

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import access, offers
from webapp.actions.offers import Offered
from webapp.web import signin, tries
from webapp.web.errors import Fault, Refused
from webapp.web.forms.faults import place

bp = Blueprint("join", __name__, url_prefix="/join")


@bp.get("/<token>")
@signin.required
def show(token: str) -> ResponseReturnValue:
    """Say who offers what."""
    return _page(token, _look(token))


@bp.post("/<token>")
@signin.required
def accept(token: str) -> ResponseReturnValue:
    """Take it."""
    offered = _look(token)
    try:
        offers.accept(g.user.id, token, signin.now())
    except Refused as refused:
        return _page(token, offered, refused.faults), 400
    if offered.is_crew:
        flash(f"You are in the crew {offered.title}.")
        return redirect(url_for("crews.index"))
    flash(f"{offered.by} shares with you now. It comes to this phone with its next sync.")
    return redirect(url_for("people.index"))


def _look(token: str) -> Offered:
    """Return what a link offers; a wrong one counts as a guess, as wrong invitations and buddy links do."""
    guessing = tries.tokens()
    tries.take_or_raise(guessing)
    offered = offers.look(g.user.id, token, signin.now())
    tries.give_back(guessing)
    return offered


def _page(token: str, offered: Offered, faults: Iterable[Fault] = ()) -> str:
    shown = place(faults, lambda _: None)
    return render_template("people/join.html", token_=token, offered=offered, faults=shown, held=access.HELD)
