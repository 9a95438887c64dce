"""A passkey, made and used in a real browser with a key of its own: no password is typed on a wet phone."""

from __future__ import annotations

import sqlite3
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from support.boat import PHONE, Server

from webapp.cli import demo

KEY = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True,
       "isUserVerified": True, "automaticPresenceSimulation": True}  # fmt: skip


class Shore:
    """A browser at the server by its name: a passkey belongs to a host name, never to a number."""

    def __init__(self, browser: Browser, server: Server) -> None:
        self.context = browser.new_context(**PHONE, service_workers="block")
        self.page: Page = self.context.new_page()
        self.address = server.url.replace("127.0.0.1", "localhost")
        self.cdp = self.context.new_cdp_session(self.page)
        self.cdp.send("WebAuthn.enable")
        self.key = self.cdp.send("WebAuthn.addVirtualAuthenticator", {"options": KEY})["authenticatorId"]

    def open(self, path: str) -> Page:
        self.page.goto(self.address + path)
        return self.page

    def sign_in(self) -> None:
        page = self.open("/account/sign-in?next=/account/")
        page.get_by_label("Name").fill(demo.NAME)
        page.get_by_label("Password").fill(demo.PASSWORD)
        page.get_by_role("main").get_by_role("button", name="Sign in", exact=True).click()
        expect(page).to_have_url(f"{self.address}/account/")

    def make(self, label: str = "Boat phone") -> None:
        page = self.page
        page.get_by_label("Name for the passkey").fill(label)
        page.get_by_role("button", name="Make a passkey").click()
        expect(page.get_by_text("The passkey is made")).to_be_visible()

    def sign_out(self) -> None:
        self.context.clear_cookies()


@pytest.fixture
def shore(chromium: Browser, server: Server) -> Any:
    made = Shore(chromium, server)
    yield made
    made.context.close()


def test_after_the_first_password_a_passkey_is_offered_and_then_signs_in_without_one(
    shore: Shore, server: Server
) -> None:
    with sqlite3.connect(server.data) as connection:
        connection.execute("DELETE FROM happened")
    connection.close()
    shore.sign_in()
    expect(shore.page.get_by_text("You can sign in without a password from now on")).to_be_visible()
    shore.make()
    shore.sign_out()
    page = shore.open("/account/sign-in?next=/sharing/")
    page.get_by_role("button", name="Use a passkey").click()
    expect(page).to_have_url(f"{shore.address}/sharing/")
    page = shore.open("/account/")
    expect(page.get_by_text("Boat phone, made")).to_contain_text("last used")
    page = shore.open("/account/events")
    expect(page.get_by_text("Signed in with a passkey")).to_be_visible()


def test_a_removed_passkey_signs_nobody_in(shore: Shore) -> None:
    shore.sign_in()
    shore.make()
    shore.page.get_by_role("button", name="Remove it").click()
    expect(shore.page.get_by_text("The passkey is removed")).to_be_visible()
    shore.sign_out()
    page = shore.open("/account/sign-in")
    page.get_by_role("button", name="Use a passkey").click()
    expect(page.locator("#passkey-says")).to_have_text("This passkey is not known here: sign in with the password")
    assert shore.open("/account/").url.partition("?")[0].endswith("/account/sign-in")


def test_an_answer_counts_once_and_only_for_what_was_asked(shore: Shore) -> None:
    shore.sign_in()
    shore.make()
    shore.sign_out()
    page = shore.open("/account/sign-in")
    with page.expect_request("**/passkeys/sign-in") as caught:
        page.get_by_role("button", name="Use a passkey").click()
    page.wait_for_url("**/boat/today")
    sent = caught.value
    again = shore.context.request.post(shore.address + "/passkeys/sign-in", data=sent.post_data, headers={
        "Content-Type": "application/json", "Accept": "application/json", "X-CSRFToken": token(shore.open("/account/")),
    })  # fmt: skip
    assert again.status == 400
    assert "not known here" in again.text()


def token(page: Page) -> str:
    return str(page.locator("[name=csrf_token]").first.input_value())


def test_a_browser_without_passkeys_shows_no_button_for_them(shore: Shore) -> None:
    shore.page.add_init_script("delete globalThis.PublicKeyCredential")
    page = shore.open("/account/sign-in")
    expect(page.get_by_role("button", name="Use a passkey")).to_be_hidden()
