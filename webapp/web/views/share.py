"""The buddy's page: today's and coming dives of one diver, for anyone who has the link."""

from typing import Any

from flask import Blueprint, jsonify, make_response, render_template
from flask.typing import ResponseReturnValue

from webapp.actions import sharing
from webapp.actions.errors import NotFound
from webapp.web import signin, tries

bp = Blueprint("share", __name__, url_prefix="/share")


@bp.get("/offline-shell")
def shell() -> ResponseReturnValue:
    """Give the empty page that a phone keeps and fills from what it has of the list."""
    answer = make_response(render_template("share/shell.html"))
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@bp.get("/<token>")
def show(token: str) -> ResponseReturnValue:
    """Show the list; it works without script. A link that is gone takes the list that the phone kept with it."""
    try:
        return render_template("share/show.html", shared=_shared(token))
    except NotFound:
        return render_template("share/shell.html", gone=True), 404


@bp.get("/<token>/list.json")
def days(token: str) -> ResponseReturnValue:
    """Give the list to the page's script, which keeps it for use without signal."""
    return jsonify(app="lineslate", **_shared(token))


def _shared(token: str) -> dict[str, Any]:
    """Return the list; raises NotFound for a token that does not work, TooManyRequests after too many of them."""
    with tries.share_link(token):
        return dict(sharing.shared_days(token, signin.now()))
