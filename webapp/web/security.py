"""The security headers of every answer, and who may change something."""

from flask import Flask, Response, current_app, request
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

from webapp.web import cookies, errors, sites

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
CSP_WITH_CLIPS = f"{CSP}; media-src blob:"  # a page that plays what the phone holds, and nothing from elsewhere
PERMISSIONS = "camera=(), geolocation=(), microphone=()"
HEADERS = {
    "Content-Security-Policy": CSP,
    # not no-referrer: under HTTPS the check of form tokens must see where a form was sent from
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": PERMISSIONS,
}
HSTS = "max-age=31536000"

LARGE = ("data.bring",)  # takes a file: a phone's whole outbox

csrf = CSRFProtect()


def init_app(app: Flask) -> None:
    """Set up form tokens, the cookie, the proxies and the headers."""
    app.before_request(_refuse_other_sites)  # first: a refusal must not touch this browser's cookies
    app.before_request(_allow_large_file)  # before the form tokens: looking for one reads the request
    csrf.init_app(app)
    cookies.init_app(app)
    app.after_request(_headers)
    hops = int(app.config["TRUSTED_PROXIES"])
    if hops:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops)  # type: ignore[method-assign]


def _refuse_other_sites() -> ResponseReturnValue | None:
    """Refuse what another site's page sends: it comes without the cookie, and its answer would overwrite it."""
    return errors.answer(403, *sites.OTHER_SITE) if sites.is_foreign() else None


def _allow_large_file() -> None:
    """Allow an uploaded file to be larger than a form."""
    if request.endpoint in LARGE:
        request.max_content_length = current_app.config["MAX_FILE_LENGTH"]


def _headers(response: Response) -> Response:
    """Set the headers a view did not set itself; a page is not cached unless its view says so."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure:
        below = "; includeSubDomains" if current_app.config["HSTS_SUBDOMAINS"] else ""
        response.headers.setdefault("Strict-Transport-Security", HSTS + below)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response
