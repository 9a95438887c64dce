"""The one shape of error answers, and which exception becomes which HTTP status.

Refused    400  what is wrong with the input, field by field
NotFound   404  it does not exist, or it is somebody else's
Forbidden  403  it exists, but this diver may not use it
NotPlanned 409  a stored season cannot be planned as it is, with what is wrong with it
TooMuch    413  more at once than the server takes
Unavailable 503 the data file cannot be used for now: locked for too long, or the disk is full
CSRFError  400  a form's token has expired: the form is shown again with what was typed
others     as HTTP says; anything unforeseen is 500 and shows no details
"""

from collections.abc import Iterable
from functools import partial
from typing import Any, cast

from flask import Flask, current_app, g, jsonify, render_template, request
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from webapp.actions.errors import Forbidden, NotFound, NotPlanned, Unavailable
from webapp.protocol.envelope import TooMuch
from webapp.rulebook.faults import Fault, Refused

__all__ = ["Fault", "Refused", "answer", "body", "init_app", "keeps_typed", "resubmit_page", "wants_json"]

RETRY_S = 30
WORDS: dict[int, tuple[str, str]] = {
    400: ("bad_request", "The request could not be understood."),
    401: ("signed_out", "Sign in first."),
    403: ("forbidden", "This is not allowed here."),
    404: ("not_found", "There is nothing here, or it is not yours."),
    405: ("bad_method", "This address does not accept that kind of request."),
    413: ("too_large", "That is too much at once."),
    415: ("not_json", "Only JSON is accepted here."),
    429: ("too_often", "Too many requests. Wait a little and try again."),
    500: ("broken", "Something went wrong on the server. What the phone has saved stays on the phone."),
    503: ("unavailable", "The server cannot save at the moment. What the phone has saved stays on the phone."),
}


def body(code: str, says: str, faults: Iterable[Fault] = ()) -> dict[str, Any]:
    """Build the one error shape: {"app": "lineslate", "error": {"code", "says", "faults": [{"field", "says"}]}}.

    `app` tells a phone that this server answered, not a Wi-Fi's sign-in page; `code` is for programs and never changes
    its meaning; `says` is a sentence for people; `faults` has every fault at once, each with its field.
    """
    listed = [{"field": fault.field, "says": fault.says} for fault in faults]
    return {"app": "lineslate", "error": {"code": code, "says": says, "faults": listed}}


def wants_json() -> bool:
    """Return whether the client can only use JSON: a program, not a browser page."""
    if request.path == "/sync" or request.path.endswith(".json"):
        return True
    accepts = request.accept_mimetypes
    return accepts["application/json"] > accepts["text/html"]


def answer(status: int, code: str, says: str, faults: Iterable[Fault] = ()) -> ResponseReturnValue:
    """Answer an error as JSON or as a page, whichever the client can read."""
    listed = tuple(faults)
    if wants_json():
        return jsonify(body(code, says, listed)), status
    return render_template("errors/error.html", says=says, faults=listed, status=status), status


def keeps_typed(view: Any) -> Any:
    """Mark a view that shows its form again with what was typed when the token has expired."""
    view.keeps_typed = True
    return view


def init_app(app: Flask) -> None:
    """Register the error handlers."""
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(CSRFError, _dead_token)
    app.register_error_handler(Refused, _refused)
    app.register_error_handler(NotPlanned, _not_planned)
    for exception, status in ((NotFound, 404), (Forbidden, 403), (TooMuch, 413)):
        app.register_error_handler(exception, partial(_said_no, status))
    app.register_error_handler(Unavailable, _unavailable)
    app.register_error_handler(Exception, _unforeseen)


def _http(error: HTTPException) -> ResponseReturnValue:
    if error.response is not None or error.code is None or error.code < 400:
        return error  # a redirect or a ready answer that was raised
    code, says = WORDS.get(error.code, ("refused", "This cannot be done."))
    says = getattr(error, "says", says)
    answered = current_app.make_response(answer(error.code, code, says))
    for name, value in error.get_headers():
        if name.lower() in {"allow", "retry-after"}:
            answered.headers[name] = value
    return answered


def _said_no(status: int, error: Exception) -> ResponseReturnValue:
    code, says = WORDS[status]
    return answer(status, code, str(error) or says)


def _refused(error: Refused) -> ResponseReturnValue:
    return answer(400, "refused", "Some of the input is not valid.", error.faults)


def _not_planned(error: NotPlanned) -> ResponseReturnValue:
    return answer(409, "not_planned", str(error), error.faults)


def _dead_token(error: CSRFError) -> ResponseReturnValue:
    """Show a form again with everything typed and a new token, instead of an error page."""
    if wants_json():
        return answer(400, "dead_token", "The page was open for too long. Load it again.")
    g.token_refused = True
    view = current_app.view_functions[request.endpoint or ""]
    if getattr(view, "keeps_typed", False):
        return _once_more(view)
    return resubmit_page()


def _once_more(view: Any) -> ResponseReturnValue:
    """Call a view from inside an error handler: Flask handles what it raises there only when asked to."""
    try:
        return cast(ResponseReturnValue, current_app.ensure_sync(view)(**(request.view_args or {})))
    except Exception as error:
        return current_app.handle_user_exception(error)


def resubmit_page(status: int = 400, says: str = "") -> ResponseReturnValue:
    """Show a page that keeps what was typed and can send it again, with the reason; passwords are not kept."""
    typed = [
        (name, value)
        for name, values in request.form.lists()
        if name != "csrf_token" and "password" not in name
        for value in values
    ]
    return render_template("errors/resubmit.html", typed=typed, says=says), status


def _unavailable(error: Unavailable) -> ResponseReturnValue:
    """Log the reason and ask to try later: another writer finishes, or the disk gets room."""
    current_app.logger.error("the data file cannot be used for %s: %s", request.endpoint, error)
    keep = request.method == "POST" and not wants_json()
    answered = current_app.make_response(resubmit_page(503, WORDS[503][1]) if keep else answer(503, *WORDS[503]))
    answered.headers["Retry-After"] = str(RETRY_S)
    return answered


def _unforeseen(error: Exception) -> ResponseReturnValue:
    """Log what happened without the address, as a buddy's contains the token; show no details."""
    current_app.logger.exception("unforeseen error in %s", request.endpoint, exc_info=error)
    code, says = WORDS[500]
    return answer(500, code, says)
