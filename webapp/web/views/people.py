"""People: who may use the own log, with which right each; what others share; and offers of rights by a link."""

from collections.abc import Iterable

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import access, consents, offers
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.base import STALE
from webapp.web.forms.crews import OfferForm, chosen_days
from webapp.web.forms.faults import place
from webapp.web.qr import qr

bp = Blueprint("people", __name__, url_prefix="/people")
GONE = "Their phone drops what it has of your log when it next syncs. The server refuses them from now on."


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """Show who may use the log, what others share, and open offers; a token is never shown a second time."""
    return _page(OfferForm())


@bp.post("/offer")
@keeps_typed
@signin.required
def offer() -> ResponseReturnValue:
    """Make an offer and show its link this once."""
    form, rights = OfferForm(), request.form.getlist("right")
    if not form.alive():
        return _page(form, [STALE], rights), 400
    label = (form.label.data or "").strip()
    try:
        token = offers.offer_log(g.user.id, rights, label, chosen_days(form), signin.now())
    except Refused as refused:
        return _page(form, refused.faults, rights), 400
    return _page(OfferForm(formdata=None), link=url_for("join.show", token=token, _external=True))


@bp.post("/offers/<int:offer_id>/take-back")
@signin.required
def take_back(offer_id: int) -> ResponseReturnValue:
    """Take an offer back before somebody accepts it."""
    offers.take_back(g.user.id, offer_id, signin.now())
    flash("The link is taken back: nobody can accept it any more.")
    return redirect(url_for("people.index"))


@bp.post("/<person>/rights")
@signin.required
def rights(person: str) -> ResponseReturnValue:
    """Let somebody do so much, and no more."""
    try:
        holds = consents.set_rights(g.user.id, person, request.form.getlist("right"), signin.now())
    except Refused as refused:
        return _page(OfferForm(formdata=None), refused.faults), 400
    flash("Saved. It holds from now on." if holds else f"Nothing is shared any more. {GONE}")
    return redirect(url_for("people.index"))


@bp.post("/<person>/end")
@signin.required
def end(person: str) -> ResponseReturnValue:
    """End every right of somebody."""
    consents.end(g.user.id, person, signin.now())
    flash(f"Nothing is shared any more. {GONE}")
    return redirect(url_for("people.index"))


@bp.post("/shared/<feed>/leave")
@signin.required
def leave(feed: str) -> ResponseReturnValue:
    """Give up what somebody shares."""
    consents.leave(g.user.id, feed, signin.now())
    flash("You no longer see this log. This phone drops what it has of it when it next syncs.")
    return redirect(url_for("people.index"))


def _page(
    form: OfferForm, faults: Iterable[Fault] = (), ticked: Iterable[str] = (access.LIST,), link: str | None = None
) -> str:
    shown, user_id = place(faults, form.find), g.user.id
    people = {"given": consents.given(user_id), "mates": consents.crew_mates(user_id)}
    others = {"received": consents.received(user_id), "offers": offers.open_offers(user_id, signin.now())}
    words = {"rights": access.RIGHTS, "held": access.HELD, "needs": access.NEEDS, "in_order": consents.in_order}
    drawn = {"form": form, "faults": shown, "ticked": ticked, "link": link, "qr": qr(link) if link else ""}
    return render_template("people/index.html", **drawn, **people, **others, **words)
