"""Two cookies: who is signed in, and what forms need (their token, and messages for the next page).

They are apart because an answer may come late: one that began before another diver signed in on this phone must not
bring back the sign-in of the first. So the first cookie is set at sign-in and sign-out only, and it lasts as long as a
sign-in may; the second says nothing of who it is.
"""

from typing import Any

from flask import Flask, Response, current_app, g, request
from flask.sessions import SecureCookieSessionInterface, SessionMixin
from itsdangerous import BadSignature

from webapp.web import sites

SIGN_IN_COOKIE, FORM_COOKIE = "lineslate", "lineslate-form"
TOKEN = "sign_in"  # noqa: S105 - the name under which the token is kept, as in the cookies of the first release
DAY_S = 86_400


class FormCookie(SecureCookieSessionInterface):
    """Flask's session in a cookie that travels only when a form or a message needs it."""

    def get_cookie_name(self, app: Flask) -> str:
        """Return the name of the cookie."""
        return _named(FORM_COOKIE)

    def get_cookie_secure(self, app: Flask) -> bool:
        """Return whether the cookie may only travel by HTTPS."""
        return request.is_secure

    def should_set_cookie(self, app: Flask, session: SessionMixin) -> bool:
        """Return whether to send the cookie: never with an answer for everybody, nor to another site's page."""
        return session.modified and not sites.is_for_everybody() and not sites.is_foreign()


def init_app(app: Flask) -> None:
    """Set up both cookies."""
    app.session_interface = FormCookie()
    app.after_request(_sent)


def token() -> str | None:
    """Return the token of the sign-in that this browser brought, or None."""
    kept = request.cookies.get(_named(SIGN_IN_COOKIE))
    if not kept:
        return None
    try:  # without its age: the store knows when a sign-in ends, and a clock that was put right ends none
        found: Any = _serializer().loads(kept)
    except BadSignature:
        return None
    value = found.get(TOKEN) if isinstance(found, dict) else None
    return value if isinstance(value, str) else None


def keep(sign_in: str) -> None:
    """Send this sign-in with the answer."""
    g.sign_in_cookie = _serializer().dumps({TOKEN: sign_in})


def drop() -> None:
    """Take the sign-in back from the browser with the answer."""
    g.sign_in_cookie = None


def _sent(response: Response) -> Response:
    if "sign_in_cookie" not in g:
        return response
    name = _named(SIGN_IN_COOKIE)
    how: dict[str, Any] = {"httponly": True, "secure": request.is_secure, "samesite": "Lax"}
    if g.sign_in_cookie is None:
        response.delete_cookie(name, **how)
    else:
        lasts_s = int(current_app.config["SIGN_IN_DAYS"]) * DAY_S
        response.set_cookie(name, g.sign_in_cookie, max_age=lasts_s, **how)
    return response


def _named(name: str) -> str:
    """Return the name; browsers refuse a __Host- cookie set by anyone but this host by HTTPS."""
    return f"__Host-{name}" if request.is_secure else name


def _serializer() -> Any:
    """Return Flask's signer: the sign-ins of the first release were kept in its session and stay good."""
    return SecureCookieSessionInterface().get_signing_serializer(current_app._get_current_object())  # type: ignore[attr-defined]
