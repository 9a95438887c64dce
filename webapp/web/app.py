"""The web app: settings, parts, errors, blueprints, in that order."""

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any

from flask import Flask

from webapp import clock, store
from webapp.rulebook_file import read_rulebook
from webapp.web import config, errors, filters, keys, security, signin, tries, words

ROOT = Path(__file__).parents[2]


def create_app(settings: Mapping[str, Any] | None = None) -> Flask:
    """Return the app; `settings` override the environment, and the environment overrides the defaults."""
    read_rulebook()  # now, or threads that are asked at once would each read it
    app = Flask(__name__, static_folder=str(ROOT / "static"), static_url_path="/static")
    _configure(app, dict(settings or {}))
    store.init_app(app)
    signin.init_app(app)  # before the form tokens: a refused form is shown again to whoever is signed in
    security.init_app(app)
    errors.init_app(app)
    filters.init_app(app)
    words.init_app(app)
    tries.init_app(app)
    _register(app)
    return app


def _configure(app: Flask, settings: dict[str, Any]) -> None:
    app.json.sort_keys = False  # type: ignore[attr-defined]  # the rulebook's order of signs is the form's order
    app.config.from_mapping(config.read_settings())
    app.config.from_mapping(
        NOW=clock.now,
        SECONDS=clock.seconds,
        SESSION_COOKIE_SAMESITE="Lax",
        MAX_FORM_PARTS=4_000,  # a season of sixty blocks with their drills, as the page's script sends it
        WTF_CSRF_TIME_LIMIT=None,  # a form's token lives as long as the sign-in: a page may be open for days
    )
    app.config.from_mapping(settings)
    app.config["PERMANENT_SESSION_LIFETIME"] = timedelta(days=app.config["SIGN_IN_DAYS"])
    app.config["TRUSTED_HOSTS"] = str(app.config["TRUSTED_HOSTS"] or "").split() or None
    app.config["SEND_FILE_MAX_AGE_DEFAULT"] = app.config["FILES_FRESH_S"] or None
    if not app.config["SECRET_KEY"]:
        app.config["SECRET_KEY"] = keys.secret_key(Path(app.config["DATA_FILE"]))


def _register(app: Flask) -> None:
    from webapp.web.views import (
        account,
        boat,
        crews,
        data,
        diver,
        history,
        join,
        outlook,
        passkeys,
        password,
        people,
        pwa,
        root,
        rulebook,
        season_new,
        share,
        sharing,
        sync,
        what_if,
    )

    security.csrf.exempt(sync.bp)  # guarded by Sec-Fetch-Site/Origin: a form's token would expire in the outbox
    for view in (
        root,
        account,
        password,
        passkeys,
        data,
        season_new,
        history,
        diver,
        rulebook,
        sharing,
        share,
        people,
        crews,
        join,
        outlook,
        what_if,
        sync,
        boat,
        pwa,
    ):
        app.register_blueprint(view.bp)  # the forms of a season stand on the blueprint of the seasons
