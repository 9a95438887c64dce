"""The outlook for the phone: own, or of a log that somebody shares."""

from flask import Blueprint, g, jsonify, request
from flask.typing import ResponseReturnValue

from webapp.actions import outlook
from webapp.web import errors, signin

bp = Blueprint("outlook", __name__)


@bp.get("/outlook.json")
@signin.required
def latest() -> ResponseReturnValue:
    """Give the outlook as of the phone's day; 304 when the phone has this one.

    The phone says whose it thinks it asks for: the answer names nobody, and must not be kept for another diver.
    """
    if request.args.get("user") not in (None, str(g.user.id)):
        return errors.answer(409, "other_user", "This outlook belongs to another diver: that diver must sign in.")
    feed, today, now = request.args.get("feed"), signin.today(), signin.now()
    found = outlook.outlook_of_feed(g.user.id, feed, today, now) if feed else outlook.outlook_of(g.user.id, today, now)
    answer = jsonify(app="lineslate", **found)
    answer.set_etag(found["id"])
    answer.headers["Cache-Control"] = "no-store"
    return answer.make_conditional(request)
