"""The buddy's page: today's and coming dives of one diver, for whoever holds the link."""

from typing import Any

from flask import Blueprint, current_app, jsonify, make_response, render_template, request
from flask.typing import ResponseReturnValue

from webapp import errors
from webapp.actions import sharing
from webapp.actions.errors import NotFound
from webapp.actions.tokens import hashed
from webapp.throttle import whose
from webapp.views import signin

bp = Blueprint("share", __name__, url_prefix="/share")


@bp.get("/offline-shell")
def shell() -> ResponseReturnValue:
    """Give the empty page that a phone keeps and fills from what it has of the list."""
    answer = make_response(render_template("share/shell.html"))
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@bp.get("/<token>")
def show(token: str) -> ResponseReturnValue:
    """Show the list; it works without script."""
    return render_template("share/show.html", shared=_shared(token))


@bp.get("/<token>/list.json")
def days(token: str) -> ResponseReturnValue:
    """Give the list to the page's script, which keeps it for the boat."""
    return jsonify(app="lineslate", **_shared(token))


def _shared(token: str) -> dict[str, Any]:
    """Return the list, or answer 429: each wrong token of an address makes its next wait longer.

    A link that has worked at an address is not held up there by anybody's guesses: it is how a buddy knows the dives.
    """
    house, now = whose(request.remote_addr), signin.now()
    link = f"{house} {hashed(token)}"
    works = current_app.extensions["share_tries"]
    if not works.knows(link):
        errors.hold("token", house, now)
    errors.hold("share", link, now)
    try:
        shared = dict(sharing.shared_days(token, now))
    except NotFound:
        works.forget(link)
        current_app.extensions["token_tries"].count(house, now.timestamp())
        raise
    works.count(link, now.timestamp())
    return shared
