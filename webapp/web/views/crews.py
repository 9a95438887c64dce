"""Crews on shore: make one, let people in, hand it over, leave it; its list is worked on with the phone."""

from collections.abc import Iterable
from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import crews
from webapp.protocol.kinds import KINDS
from webapp.rulebook.checks import named_halves
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.base import STALE
from webapp.web.forms.crews import CrewForm, InviteForm, chosen_days
from webapp.web.forms.faults import place
from webapp.web.qr import qr

bp = Blueprint("crews", __name__, url_prefix="/crews")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """List the crews, with a form for a new one."""
    return _index(CrewForm())


@bp.post("/make")
@keeps_typed
@signin.required
def make() -> ResponseReturnValue:
    """Make a crew."""
    form = CrewForm()
    if not form.alive():
        return _index(form, [STALE]), 400
    try:
        name = crews.make(g.user.id, form.title.data or "", signin.now())
    except Refused as refused:
        return _index(form, refused.faults), 400
    flash("The crew is made. Next: let the others in by a link.")
    return redirect(url_for("crews.show", feed=name))


@bp.get("/<feed>")
@signin.required
def show(feed: str) -> ResponseReturnValue:
    """Show one crew: who is in it, and what its owner can do."""
    return _crew(feed)


@bp.get("/<feed>/history")
@signin.required
def history(feed: str) -> ResponseReturnValue:
    """Show who did what in the list of a crew, the latest first."""
    crew = crews.crew(g.user.id, feed, signin.now())
    steps = [_step(step) for step in crews.history(g.user.id, feed)]
    return named_halves(render_template("crews/history.html", crew=crew, steps=steps, most=crews.MOST_STEPS))


@bp.post("/<feed>/title")
@keeps_typed
@signin.required
def rename(feed: str) -> ResponseReturnValue:
    """Give a crew another name."""
    form = CrewForm()
    if not form.alive():
        return _crew(feed, [STALE], title=form), 400
    try:
        crews.rename(g.user.id, feed, form.title.data or "", signin.now())
    except Refused as refused:
        return _crew(feed, refused.faults, title=form), 400
    return redirect(url_for("crews.show", feed=feed))


@bp.post("/<feed>/invite")
@keeps_typed
@signin.required
def invite(feed: str) -> ResponseReturnValue:
    """Make a link to join and show it this once, with its code for the other's camera."""
    form = InviteForm()
    if not form.alive():
        return _crew(feed, [STALE], invite=form), 400
    try:
        token = crews.invite(g.user.id, feed, chosen_days(form), signin.now())
    except Refused as refused:
        return _crew(feed, refused.faults, invite=form), 400
    link = url_for("join.show", token=token, _external=True)
    return _crew(feed, link=link, qr=qr(link))


@bp.post("/<feed>/offers/<int:offer_id>/take-back")
@signin.required
def take_back(feed: str, offer_id: int) -> ResponseReturnValue:
    """Take a link to join back."""
    crews.take_back(g.user.id, feed, offer_id, signin.now())
    flash("The link is taken back: nobody joins by it any more. Whoever is in the crew stays in it.")
    return redirect(url_for("crews.show", feed=feed))


@bp.post("/<feed>/people/<person>/remove")
@signin.required
def remove(feed: str, person: str) -> ResponseReturnValue:
    """Remove somebody from a crew."""
    crews.remove(g.user.id, feed, person, signin.now())
    flash("They are no longer in the crew. Their phone drops its list when it next syncs. What they wrote in it stays.")
    return redirect(url_for("crews.show", feed=feed))


@bp.post("/<feed>/people/<person>/hand-over")
@signin.required
def hand_over(feed: str, person: str) -> ResponseReturnValue:
    """Make somebody else the owner of a crew."""
    crews.hand_over(g.user.id, feed, person, signin.now())
    flash("The crew is handed over. You are still in it.")
    return redirect(url_for("crews.show", feed=feed))


@bp.post("/<feed>/leave")
@signin.required
def leave(feed: str) -> ResponseReturnValue:
    """Leave a crew."""
    crews.leave(g.user.id, feed, signin.now())
    flash("You have left the crew. This phone drops its list when it next syncs.")
    return redirect(url_for("crews.index"))


@bp.post("/<feed>/delete")
@signin.required
def delete(feed: str) -> ResponseReturnValue:
    """Delete a crew in which nobody else is."""
    try:
        crews.delete(g.user.id, feed, signin.now())
    except Refused as refused:
        return _crew(feed, refused.faults), 400
    flash("The crew is deleted with its list.")
    return redirect(url_for("crews.index"))


def _index(form: CrewForm, faults: Iterable[Fault] = ()) -> str:
    shown = place(faults, form.find)
    return render_template("crews/index.html", form=form, faults=shown, crews=crews.crews(g.user.id, signin.now()))


def _crew(feed: str, faults: Iterable[Fault] = (), **given: Any) -> str:
    """Show a crew; `given` has a form that was typed in, or the link that was just made."""
    crew = crews.crew(g.user.id, feed, signin.now())
    title = given.pop("title", None) or CrewForm(formdata=None, title=crew.feed.title)
    invite = given.pop("invite", None) or InviteForm(formdata=None)
    shown = place(faults, lambda name: title.find(name) or invite.find(name))
    return render_template("crews/show.html", crew=crew, faults=shown, title=title, invite=invite, **given)


def _step(step: crews.Step) -> dict[str, Any]:
    entry, asked = step.entry, step.entry.asked
    kind = KINDS[asked.kind]
    about = ", ".join(kind.about({**asked.fields, **entry.before, **entry.after}))
    return {
        "author": step.author, "received_at": entry.received_at, "label": kind.label, "about": about,
        "refused": entry.status == "refused", "deleted": bool(entry.after.get("deleted")),
        "created": not entry.before and bool(entry.after),
        "changes": [
            (kind.fields.get(name, name), _plain(value)) for name, value in entry.after.items() if name != "deleted"
        ],
        "faults": [f"{kind.fields.get(fault.field, fault.field)} {fault.says}" for fault in entry.faults],
    }  # fmt: skip


def _plain(value: Any) -> str:
    """Return a value as people read it; who is meant by the name of a log stands in the list of the boat."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value in (None, "", []):
        return "nothing"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)
