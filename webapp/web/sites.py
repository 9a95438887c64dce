"""Tells whether our own page sent a request, and whether the answer is the same for every diver."""

from urllib.parse import urlsplit

from flask import request

SHELLS = ("boat", "pwa")
OWN_SITES = ("same-origin", "none")  # `none`: typed by the person, no page asked for it
OTHER_SITE = "other_site", "This can only be sent by the app itself."
CHANGING = ("POST", "PUT", "PATCH", "DELETE")


def is_for_everybody() -> bool:
    """Return whether the answer is the same for everybody: a file, or a shell that a phone keeps."""
    return request.endpoint in ("static", "share.shell") or request.blueprint in SHELLS


def is_own_page() -> bool:
    """Return whether the browser says that our own page asks; older browsers only send the origin."""
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None:
        return site in OWN_SITES
    return urlsplit(request.headers.get("Origin", "")).netloc == request.host


def is_foreign() -> bool:
    """Return whether another site's page wants to change something here; a request that names no page is none."""
    names_page = "Sec-Fetch-Site" in request.headers or "Origin" in request.headers
    return request.method in CHANGING and names_page and not is_own_page()
