"""Sharing: the links a diver gives to buddies, and takes back."""

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import sharing
from webapp.views import signin

bp = Blueprint("sharing", __name__, url_prefix="/sharing")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """List the links; a token is never shown a second time."""
    return render_template("sharing/index.html", links=sharing.links(g.user.id))


@bp.post("/make")
@signin.required
def make() -> ResponseReturnValue:
    """Make a link and show it this once."""
    token = sharing.make_link(g.user.id, request.form.get("label", "").strip(), signin.now())
    link = url_for("share.show", token=token, _external=True)
    return render_template("sharing/index.html", links=sharing.links(g.user.id), link=link)


@bp.post("/<int:link_id>/revoke")
@signin.required
def revoke(link_id: int) -> ResponseReturnValue:
    """Take a link back: whoever opens it from now on sees nothing."""
    sharing.revoke(g.user.id, link_id)
    flash("The link is taken back. Phones that kept the list drop it when they next ask for it.")
    return redirect(url_for("sharing.index"))
