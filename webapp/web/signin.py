"""Who is signed in: read once per request from the sign-in id in the cookie, which the store can end."""

from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import Any, cast

from flask import Flask, current_app, g, redirect, request, session, url_for
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import generate_csrf

from webapp.actions import accounts
from webapp.actions.times import local_day
from webapp.web import cookies, errors, sites

MENU_SIGNED_IN = (
    ("/boat/today", "Today"),
    ("/seasons/", "Seasons"),
    ("/outlook/", "Outlook"),
    ("/diver/", "Body and water"),
    ("/rulebook/", "Rulebook"),
    ("/sharing/", "Sharing"),
    ("/people/", "People"),
    ("/crews/", "Crews"),
    ("/account/", "Account"),
)
MENU_SIGNED_OUT = (("/account/sign-in", "Sign in"), ("/rulebook/", "Rulebook"))
THEMES = ("day", "night")


def init_app(app: Flask) -> None:
    """Read the person before each request, and tell the templates who it is."""
    app.before_request(_load)
    app.context_processor(_template_values)


def now() -> datetime:
    """Return the time now in UTC, from the app's clock."""
    return cast(datetime, current_app.config["NOW"]())


def today() -> str:
    """Return the date where the diver is, by the offset from UTC that their phone last sent."""
    return local_day(now(), g.user.utc_offset_min if g.user else 0)


def required(view: Callable[..., ResponseReturnValue]) -> Callable[..., ResponseReturnValue]:
    """Send whoever is signed out to the sign-in page; a posted form is kept, not lost."""

    @wraps(view)
    def wrapped(**kwargs: Any) -> ResponseReturnValue:
        if g.user:
            return view(**kwargs)
        if request.method == "POST":
            return errors.resubmit_page(401)
        return to_sign_in()

    return wrapped


def to_sign_in() -> ResponseReturnValue:
    """Lead to the sign-in page, and from there back to this one."""
    return redirect(url_for("account.sign_in", next=request.full_path.rstrip("?")))


def begin(user_id: int, how: str | None = "signed_in") -> None:
    """Sign in: new cookies and a new sign-in, so that nothing set before carries over; the browser's last one ends.

    `how` is the event that is noted, if any.
    """
    session.clear()
    g.pop("csrf_token", None)  # Flask-WTF keeps the token of the form just sent
    generate_csrf()
    session.permanent = True
    cookies.keep(accounts.open_sign_in(user_id, now(), cookies.token(), how))


def end() -> None:
    """Sign out: end the sign-in on the server; the phone's own storage is not touched."""
    kept = cookies.token()
    if kept:
        accounts.close_sign_in(kept, now())
    cookies.drop()
    session.clear()


def inside(address: str | None) -> str:
    """Return the address if it leads to this app, else Today."""
    leads = address and address.startswith("/") and not address.startswith(("//", "/\\")) and address.isprintable()
    return str(address) if leads else url_for("root.index")


def _load() -> None:
    """Do not read the cookie for answers without personal data: they are cached and requested all the time."""
    kept = None if sites.is_for_everybody() else cookies.token()
    g.user = accounts.user_of_sign_in(kept, now(), current_app.config["SIGN_IN_DAYS"]) if kept else None


def _template_values() -> dict[str, Any]:
    theme = request.cookies.get("theme")
    return {
        "menu": MENU_SIGNED_IN if g.get("user") else MENU_SIGNED_OUT,
        "theme": theme if theme in THEMES else None,
    }
