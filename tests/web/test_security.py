"""Headers and cookies; routes, text and limits have a file each, test_security_*.py."""

from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime

import pytest

from webapp.web.app import create_app
from webapp.web.security import CSP

HTTPS = {"base_url": "https://slate.example"}


@pytest.mark.parametrize("path", ["/account/sign-in", "/rulebook/", "/nowhere", "/healthz", "/static/css/base.css"])
def test_every_answer_carries_the_headers(stranger, path: str) -> None:
    headers = stranger.get(path).headers

    assert headers["Content-Security-Policy"] == CSP
    assert "'unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"


def test_only_the_page_of_films_may_play_a_film_and_only_one_picked_on_the_phone(stranger) -> None:
    policy = stranger.get("/boat/technique").headers["Content-Security-Policy"]
    assert policy == f"{CSP}; media-src blob:"
    assert "media-src" not in CSP


@pytest.mark.parametrize("path", ["/account/", "/seasons/", "/seasons/1", "/seasons/1/plan", "/rulebook/", "/sharing/"])
def test_a_page_with_someones_data_or_a_token_is_kept_by_nobody(planner_of_may, path: str) -> None:
    assert planner_of_may.get(path).headers["Cache-Control"] == "no-store"


def cookie_of(page) -> str:
    return next(value for name, value in page.headers if name == "Set-Cookie" and "lineslate" in value)


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites_and_lasts_a_season(diver, app, person) -> None:
    typed = {"name": "Runa Tidewell", "password": "slow kelp drifts"}
    page = person(app).fill("/account/sign-in", typed, follow=False)
    cookie = next(value for name, value in page.headers if name == "Set-Cookie" and value.startswith("lineslate="))
    expires = parsedate_to_datetime(cookie.split("Expires=")[1].split(";")[0])

    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Path=/" in cookie
    assert timedelta(days=364) < expires - datetime.now(UTC) < timedelta(days=366)
    assert "Secure" not in cookie


def test_under_https_the_cookie_is_secure_and_bound_to_the_host(stranger) -> None:
    page = stranger.get("/account/sign-in", **HTTPS)
    cookie = cookie_of(page)

    assert cookie.startswith("__Host-lineslate-form=")
    assert "Secure" in cookie
    assert "Domain" not in cookie
    assert "max-age" in page.headers["Strict-Transport-Security"]


@pytest.mark.parametrize(("asked", "says"), [(0, "max-age=31536000"), (1, "max-age=31536000; includeSubDomains")])
def test_names_below_the_servers_are_bound_to_https_only_when_it_is_set(settings, person, asked, says) -> None:
    page = person(create_app({**settings, "HSTS_SUBDOMAINS": asked})).get("/account/sign-in", **HTTPS)
    assert page.headers["Strict-Transport-Security"] == says


def test_sign_up_works_under_https(stranger) -> None:
    form = stranger.get("/account/sign-up", **HTTPS).form("name")["fields"]
    typed = {**form, "name": "Runa Tidewell", "password": "slow kelp drifts"}
    sent_from = {"Referer": "https://slate.example/account/sign-up"}
    page = stranger.post("/account/sign-up", typed, headers=sent_from, **HTTPS)

    assert page.status == 302
    assert stranger.get("/account/", **HTTPS).status == 200


def test_a_form_sent_from_another_site_is_refused_under_https(stranger) -> None:
    form = stranger.get("/account/sign-up", **HTTPS).form("name")["fields"]
    typed = {**form, "name": "Runa Tidewell", "password": "slow kelp drifts"}
    page = stranger.post("/account/sign-up", typed, headers={"Referer": "https://elsewhere.example/"}, **HTTPS)

    assert page.status == 400
    assert stranger.get("/account/", **HTTPS).status == 302


def test_what_a_proxy_says_is_believed_only_when_it_is_set(settings, person) -> None:
    told = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "slate.example"}
    alone = person(create_app(settings)).get("/account/sign-in", headers=told)
    behind = person(create_app({**settings, "TRUSTED_PROXIES": 1})).get("/account/sign-in", headers=told)

    assert "Secure" not in cookie_of(alone)
    assert "Secure" in cookie_of(behind)


@pytest.mark.parametrize("path", ["/static/css/base.css", "/boat/today", "/pwa/manifest.webmanifest"])
def test_what_is_the_same_for_everybody_carries_no_cookie(diver, path: str) -> None:
    assert "Set-Cookie" not in diver.get(path).headers
