"""The sign-in cookie is set at sign-in and sign-out and by nothing else; other sites' pages change nothing."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.sessions import SecureCookieSessionInterface

from webapp.actions import accounts

SYNC = {"schema": 1, "device": "0123456789abcdef0123456789abcdef", "mark": 0, "epoch": None, "operations": []}
NAME, PASSWORD = "Runa Tidewell", "slow kelp drifts"
FORMS = (
    "/account/sign-in", "/account/sign-up", "/account/sign-out", "/account/sign-out-everywhere", "/account/invite",
    "/data/delete", "/sharing/", "/seasons/new/all",
)  # fmt: skip


def cookies_of(page: Any) -> list[str]:
    return [value.split("=")[0] for name, value in page.headers if name == "Set-Cookie"]


LOOKED_AT = ("/account/", "/sharing/", "/seasons/", "/diver/", "/data/", "/history/", "/boat/today")


@pytest.mark.parametrize("path", LOOKED_AT)
def test_looking_at_pages_never_sends_the_sign_in_again(planner_of_may: Any, path: str) -> None:
    assert "lineslate" not in cookies_of(planner_of_may.get(path))


def test_a_sync_sends_no_cookie_at_all(planner_of_may: Any, clock: Any) -> None:
    clock.wait(days=3)
    with planner_of_may.client.post("/sync", json=SYNC, headers={"Sec-Fetch-Site": "same-origin"}) as answer:
        assert answer.status_code in (200, 400)
        assert "Set-Cookie" not in answer.headers


def test_a_message_for_the_next_page_does_not_carry_the_sign_in(planner_of_may: Any) -> None:
    page = planner_of_may.fill("/sharing/", {"label": "Ebba"}, follow=False)
    assert "lineslate" not in cookies_of(page)


def test_a_sign_in_ends_the_one_that_this_browser_had(diver: Any, app: Flask, person: Any) -> None:
    copied = diver.client.get_cookie("lineslate").value
    invitation = diver.press("/account/", "/account/invite").form("/account/invite")
    assert invitation
    diver.sign_in()
    thief = person(app)
    thief.client.set_cookie("lineslate", copied)
    assert thief.get("/account/").status == 302
    assert diver.get("/account/").status == 200


def test_a_late_answer_to_one_diver_does_not_end_the_next_ones_sign_in(diver: Any, app: Flask, person: Any) -> None:
    link = next(given["value"] for tag, given in diver.press("/account/", "/account/invite").tags
                if tag == "input" and given.get("id") == "invitation")  # fmt: skip
    person(app).sign_up("Ebba Kettle", "pale sand sinks", link.split("localhost", 1)[-1])
    late = diver.client.post("/sync", json=SYNC, headers={"Sec-Fetch-Site": "same-origin"})  # answered, not yet arrived
    diver.sign_in("Ebba Kettle", "pale sand sinks")
    for cookie in late.headers.getlist("Set-Cookie"):
        name, _, value = cookie.partition("=")
        diver.client.set_cookie(name, value.split(";")[0])
    assert "Ebba Kettle" in diver.get("/account/").words


def test_a_phone_that_signed_in_with_the_first_release_stays_signed_in(diver: Any, app: Flask, person: Any) -> None:
    kept = {"sign_in": accounts_token(app), "csrf_token": "0" * 40, "_permanent": True}
    signer = SecureCookieSessionInterface().get_signing_serializer(app)
    assert signer is not None
    phone = person(app)
    phone.client.set_cookie("lineslate", signer.dumps(kept))
    assert phone.get("/account/").status == 200


def accounts_token(app: Flask) -> str:
    with app.app_context():
        return accounts.open_sign_in(1, app.config["NOW"]())


def test_a_sign_in_ends_on_its_last_day_however_much_it_is_used(diver: Any, clock: Any) -> None:
    for _ in range(12):
        clock.wait(days=30)
        assert diver.get("/account/").status == 200
    clock.wait(days=6)
    assert diver.get("/account/").status == 302


def test_a_sign_in_that_nobody_used_for_half_a_year_has_ended(diver: Any, clock: Any) -> None:
    clock.wait(days=181)
    assert diver.get("/account/").status == 302


def test_a_clock_that_ran_ahead_and_is_put_right_ends_no_sign_in(
    diver: Any, clock: Any, app: Flask, person: Any
) -> None:
    clock.wait(days=800)
    assert diver.get("/account/").status == 302
    meanwhile = person(app)
    meanwhile.sign_in()
    clock.put_back(days=800)
    assert diver.get("/account/").status == 200
    assert meanwhile.get("/account/").status == 200


@pytest.mark.parametrize("path", FORMS)
@pytest.mark.parametrize("sent_by", [
    {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://elsewhere.example"},
    {"Origin": "null"},
])  # fmt: skip
def test_another_sites_page_changes_nothing_and_leaves_every_cookie(
    planner_of_may: Any, path: str, sent_by: dict[str, str]
) -> None:
    planner_of_may.client.delete_cookie("lineslate")  # a Lax cookie does not come with it
    page = planner_of_may.post(path, {"name": NAME, "password": PASSWORD}, headers=sent_by)
    assert page.status == 403
    assert cookies_of(page) == []


def test_our_own_page_and_an_older_browser_that_names_no_page_are_heard(diver: Any) -> None:
    for sent_by in ({"Sec-Fetch-Site": "same-origin"}, {"Origin": "http://localhost"}, {}):
        form = diver.get("/account/").form("/account/invite")
        assert diver.post("/account/invite", form["fields"], headers=sent_by).status == 200
