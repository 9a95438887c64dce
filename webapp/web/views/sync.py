"""The sync door: who asks, and is it our own page? Then one action. Guarded by where the request comes from, as a
form's token would die in the outbox."""

import gzip
import json
from typing import Any
from urllib.parse import urlsplit

from flask import Blueprint, Response, g, jsonify, request
from flask.typing import ResponseReturnValue

from webapp.actions import sync
from webapp.web import errors, signin, tries

bp = Blueprint("sync", __name__, url_prefix="/sync")
MOST_BYTES = 256 * 1024
OWN_SITES = ("same-origin", "none")
WORTH_PACKING_BYTES = 1_000
QUICK = 5  # of gzip's levels: the higher ones take longer and save next to nothing here


@bp.post("")
def exchange() -> ResponseReturnValue:
    """Take a phone's operations and answer what became of them and what is new."""
    request.max_content_length = MOST_BYTES
    turned_away = _stranger()
    if turned_away:
        return turned_away
    counted = tries.sync(g.user.id)
    tries.raise_if_throttled(counted, signin.now())
    tries.count(counted, signin.now())
    asked = _read(request.get_data())
    if not isinstance(asked, dict):
        return errors.answer(400, "not_json", "This is not the JSON of a sync request.")
    if asked.get("user") not in (None, g.user.id):
        return errors.answer(409, "other_user", "These records belong to another diver: that diver has to sign in.")
    # a header, so that a server of an older version takes no offence
    return _packed(jsonify(sync.sync(g.user.id, asked, signin.now(), request.headers.get("Lineslate-Sheet"))))


def _packed(answer: Response) -> Response:
    """Return the answer compressed for a weak signal, whatever stands in front of this server.

    Nobody else's text can be brought in beside the diver's own here, so that its length gives nothing away.
    """
    body = answer.get_data()
    if request.accept_encodings.quality("gzip") and len(body) >= WORTH_PACKING_BYTES:
        answer.set_data(gzip.compress(body, QUICK))
        answer.content_encoding = "gzip"
    answer.vary.add("Accept-Encoding")
    return answer


def _stranger() -> ResponseReturnValue | None:
    """Turn away what our own page would not send, and whoever is signed out; None for whoever may go on."""
    if not _from_own_page():
        return errors.answer(403, "other_site", "This can only be sent by the app itself.")
    if request.mimetype != "application/json":
        return errors.answer(415, *errors.WORDS[415])
    if g.user is None:
        return errors.answer(401, *errors.WORDS[401])
    return None


def _from_own_page() -> bool:
    """Tell whether the browser says that our own page asks; older ones only tell the origin."""
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None:
        return site in OWN_SITES
    return urlsplit(request.headers.get("Origin", "")).netloc == request.host


def _read(data: bytes) -> Any:
    """Return what the JSON says, or None: also for NaN and for nesting that no phone sends."""
    try:
        return json.loads(data, parse_constant=_no_number)
    except (ValueError, RecursionError):
        return None


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is not JSON")
