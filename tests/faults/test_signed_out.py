"""Signed out, in whatever way: logging works, nothing is sent under another name, all is sent after signing in."""

from __future__ import annotations

from playwright.sync_api import expect
from support.boat import MORNING, BoatPhone
from support.chaos import HOLD, Chaos
from support.faulty import FaultyServer, all_on_shore, dives, nothing_lost, pour, save, send_now, until

from webapp.actions import accounts
from webapp.cli import demo
from webapp.web.app import create_app

SIGN_IN_SAYS = "Sign in to send them. Logging works without it."


def sign_in(phone: BoatPhone) -> None:
    """Sign in by the button at the foot of the page, as the diver is led to."""
    page = phone.page
    if not page.locator("#go-sign-in").is_visible():
        page.locator(".boat-foot summary").click()
    page.locator("#go-sign-in").click()
    page.get_by_label("Name").fill(demo.NAME)
    page.get_by_label("Password").fill(demo.PASSWORD)
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/boat/today")


def test_after_sixty_days_away_and_a_sign_in_that_ended_meanwhile_three_hundred_dives_go_out(
    phone: BoatPhone, server: FaultyServer
) -> None:
    phone.context.set_offline(True)
    saved = pour(phone, dives(300))
    phone.context.clear_cookies()
    phone.page.clock.fast_forward(60 * 24 * 3_600_000)
    phone.context.set_offline(False)
    phone.says(f"300 saved here, not sent yet. {SIGN_IN_SAYS}")
    saved |= save(phone, *dives(1, at="23:00"))
    phone.says(f"301 saved here, not sent yet. {SIGN_IN_SAYS}")
    nothing_lost(saved, server, phone)
    sign_in(phone)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_a_server_that_lost_its_key_ends_every_sign_in_but_no_dive(phone: BoatPhone, server: FaultyServer) -> None:
    server.again(settings={"SECRET_KEY": "another one"})
    saved = save(phone, *dives(2))
    phone.says(f"2 saved here, not sent yet. {SIGN_IN_SAYS}")
    sign_in(phone)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_signing_out_with_dives_waiting_leaves_them_on_the_phone_until_the_diver_is_back(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    """Without signal, and while a batch is on the way."""
    phone.context.clear_cookies()  # a sign-in of its own, as the test ends it
    phone.open("/boat/today")
    sign_in(phone)
    phone.says("Last sent")
    for offline in (True, False):
        if not offline:
            chaos.next(HOLD)
        phone.context.set_offline(offline)
        saved = save(phone, *dives(2))
        until(phone, lambda offline=offline: offline or chaos.held)  # type: ignore[misc]
        phone.context.set_offline(False)
        sign_out_by_another_tab(phone, server)
        chaos.release()
        send_now(phone)
        nothing_lost(saved, server, phone)
        phone.open("/boat/today")
        sign_in(phone)
        phone.sent()
        all_on_shore(saved, server, phone)


def sign_out_by_another_tab(phone: BoatPhone, server: FaultyServer) -> None:
    other = phone.context.new_page()
    other.goto(server.url + "/account/")
    expect(other.get_by_text("stay on the phone. They are sent when you sign in again.")).to_be_visible()
    other.get_by_role("button", name="Sign out", exact=True).click()
    other.wait_for_url("**/account/sign-in**")
    other.close()


def test_an_answer_that_comes_after_another_diver_signed_in_does_not_bring_the_first_one_back(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    with create_app({"DATA_FILE": str(server.data)}).app_context():
        first = accounts.sign_in(demo.NAME, demo.PASSWORD, MORNING)
        accounts.sign_up("Okko Brandt", "a quiet second diver", accounts.invite(first.id, MORNING), MORNING)
    phone.context.clear_cookies()  # a sign-in of its own, as the second one ends it
    phone.open("/boat/today")
    sign_in(phone)
    phone.says("Last sent")
    page = phone.open("/boat/log")
    chaos.next(HOLD)
    saved = save(phone, *dives(1))
    until(phone, lambda: chaos.held)
    other = phone.context.new_page()
    other.goto(server.url + "/account/sign-in")
    other.get_by_label("Name").fill("Okko Brandt")
    other.get_by_label("Password").fill("a quiet second diver")
    other.get_by_role("main").get_by_role("button", name="Sign in").click()
    other.wait_for_url("**/boat/today")
    with page.expect_response("**/sync"):
        chaos.release()
    other.goto(server.url + "/account/")
    expect(other.get_by_role("heading", level=1)).to_have_text("Okko Brandt")
    nothing_lost(saved, server, phone)
