"""The sync address: checks who asks and that our own page asks, then calls one action.

Guarded by where the request comes from, because a form's token would expire in the outbox.
"""

import gzip
import json
from typing import Any

from flask import Blueprint, Response, g, request
from flask.typing import ResponseReturnValue

from webapp.actions import sync
from webapp.protocol.written import text_of
from webapp.web import errors, signin, sites, tries

bp = Blueprint("sync", __name__, url_prefix="/sync")
MOST_BYTES = 256 * 1024
REFUSED = "refused"
FIRST_KINDS = ("dive", "clearance")  # what an app knows that does not say it: it cannot read any other
WORTH_PACKING_BYTES = 1_000
QUICK = 5  # of gzip's levels: higher ones take longer and save almost nothing here


@bp.post("")
def exchange() -> ResponseReturnValue:
    """Store a phone's operations; answer with their results and with what is new."""
    request.max_content_length = MOST_BYTES
    refusal = _turned_away()
    if refusal:
        return refusal
    tries.take_or_raise(tries.sync(g.user.id))
    asked = _read(request.get_data())
    if not isinstance(asked, dict):
        return errors.answer(400, "not_json", "This is not the JSON of a sync request.")
    if asked.get("user") not in (None, g.user.id):
        return errors.answer(409, "other_user", "These records belong to another diver: that diver must sign in.")
    sent = asked.get("operations")
    tries.allow_changes(g.user.id, len(sent) if isinstance(sent, list) else 0)
    # headers, because an older server ignores them
    has_sheet, named = request.headers.get("Lineslate-Sheet"), request.headers.get("Lineslate-Kinds")
    kinds = FIRST_KINDS if named is None else named.split(",")
    keeps_own = named is not None  # the first release waits to read its own records among the changes
    said = sync.sync(g.user.id, asked, signin.now(), has_sheet, kinds, keeps_own=keeps_own)
    tries.count_refused(g.user.id, sum(result["status"] == REFUSED for result in said["results"]))
    return _packed(f"{text_of(said)}\n".encode())


def _packed(body: bytes) -> Response:
    """Return the answer compressed for a weak signal, whatever proxy is in front of this server.

    This is safe: an answer never mixes in text chosen by others, so its length reveals nothing.
    """
    answer = Response(body, mimetype="application/json")
    if request.accept_encodings.quality("gzip") and len(body) >= WORTH_PACKING_BYTES:
        answer.set_data(gzip.compress(body, QUICK))
        answer.content_encoding = "gzip"
    answer.vary.add("Accept-Encoding")
    return answer


def _turned_away() -> ResponseReturnValue | None:
    """Return the refusal of a request that our own page would not send or whose sender is signed out, else None."""
    if not sites.is_own_page():
        return errors.answer(403, *sites.OTHER_SITE)
    if request.mimetype != "application/json":
        return errors.answer(415, *errors.WORDS[415])
    if g.user is None:
        return errors.answer(401, *errors.WORDS[401])
    return None


def _read(data: bytes) -> Any:
    """Return what the JSON says, or None: also for NaN and for nesting that no phone sends."""
    try:
        return json.loads(data, parse_constant=_no_number)
    except (ValueError, RecursionError):
        return None


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is not JSON")
