"""Sharing: the links a diver gives to buddies, and takes back."""

from collections.abc import Iterable

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import sharing
from webapp.actions.times import stamp
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.base import STALE
from webapp.web.forms.faults import place
from webapp.web.forms.sharing import LinkForm

bp = Blueprint("sharing", __name__, url_prefix="/sharing")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """List the links; a token is never shown a second time."""
    return _page(LinkForm())


@bp.post("/make")
@keeps_typed
@signin.required
def make() -> ResponseReturnValue:
    """Make a link and show it this once."""
    form = LinkForm()
    if not form.alive():
        return _page(form, [STALE]), 400
    try:
        shows = {"shows_over": form.shows_over.data, "shows_crew": form.shows_crew.data}
        token = sharing.make_link(g.user.id, (form.label.data or "").strip(), signin.now(), _days(form), **shows)
    except Refused as refused:
        return _page(form, refused.faults), 400
    return _page(LinkForm(formdata=None), link=url_for("share.show", token=token, _external=True))


@bp.post("/<int:link_id>/revoke")
@signin.required
def revoke(link_id: int) -> ResponseReturnValue:
    """Take a link back: whoever opens it from now on sees nothing."""
    sharing.revoke(g.user.id, link_id, signin.now())
    flash("The link is taken back. Phones that kept the list drop it when they next ask for it.")
    return redirect(url_for("sharing.index"))


def _days(form: LinkForm) -> int | None:
    """Return the days chosen, None for good; -1, which is refused, for anything that is not a number."""
    chosen = form.days.data or ""
    return None if not chosen else int(chosen) if chosen.isdecimal() and len(chosen) < 4 else -1


def _page(form: LinkForm, faults: Iterable[Fault] = (), link: str | None = None) -> str:
    shown = place(faults, form.find)
    given = {"links": sharing.links(g.user.id), "now": stamp(signin.now())}
    return render_template("sharing/index.html", form=form, faults=shown, link=link, **given)
