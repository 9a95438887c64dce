"""The security headers of every answer, and how the cookie is set."""

from flask import Flask, Response, current_app, request
from flask.sessions import SecureCookieSessionInterface, SessionMixin
from flask_wtf.csrf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

CSP = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": CSP,
    # not no-referrer: under HTTPS the check of form tokens must see where a form was sent from
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
HSTS = "max-age=31536000"

SHELLS = ("boat", "pwa")
LARGE = ("data.bring",)  # takes a file: a phone's whole outbox

csrf = CSRFProtect()


def is_shell() -> bool:
    """Return whether the answer is the same for everybody: a file, or a shell that a phone keeps."""
    return request.endpoint in ("static", "share.shell") or request.blueprint in SHELLS


class CookieInterface(SecureCookieSessionInterface):
    """The sign-in cookie: Secure, and bound to this host by its name, whenever the request came by HTTPS."""

    def get_cookie_name(self, app: Flask) -> str:
        """Return the name; browsers refuse a __Host- cookie set by anyone but this host by HTTPS."""
        return "__Host-lineslate" if request.is_secure else "lineslate"

    def get_cookie_secure(self, app: Flask) -> bool:
        """Return whether the cookie may only travel by HTTPS."""
        return request.is_secure

    def should_set_cookie(self, app: Flask, session: SessionMixin) -> bool:
        """Return whether to send the cookie again; never with an answer that may be cached for everybody."""
        return not is_shell() and super().should_set_cookie(app, session)


def init_app(app: Flask) -> None:
    """Set up form tokens, the cookie, the proxies and the headers."""
    app.before_request(_allow_large_file)  # before the form tokens: looking for one reads the request
    csrf.init_app(app)
    app.session_interface = CookieInterface()
    app.after_request(_headers)
    hops = int(app.config["TRUSTED_PROXIES"])
    if hops:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops)  # type: ignore[method-assign]


def _allow_large_file() -> None:
    """Allow an uploaded file to be larger than a form."""
    if request.endpoint in LARGE:
        request.max_content_length = current_app.config["MAX_FILE_LENGTH"]


def _headers(response: Response) -> Response:
    """Set the headers a view did not set itself; a page is not cached unless its view says so."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure:
        response.headers.setdefault("Strict-Transport-Security", HSTS)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response
