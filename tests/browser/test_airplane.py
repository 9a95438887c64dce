"""After one signed-in visit everything on the boat works in airplane mode, after a restart of the browser too."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect
from support.boat import BoatPhone, Server, kept_browser


@pytest.mark.keeps_app
def test_the_whole_boat_side_works_without_signal_after_a_restart(
    chromium: Browser, server: Server, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    with kept_browser(chromium, profile, server) as phone:
        phone.sign_in()
        target = phone.page.locator(".next-dive .big").inner_text()
    server.stop()

    with kept_browser(chromium, profile, server) as phone:
        phone.context.set_offline(True)
        page = phone.open("/boat/today")
        expect(page.locator(".next-dive .big")).to_have_text(target.replace("\n", ""))

        phone.log_as_planned()
        expect(page.locator(".verdict")).to_contain_text("Clean")
        expect(page.get_by_role("heading", name="Next deep dive")).to_be_visible()
        phone.says("1 saved here, not sent yet. They will be sent when there is signal.")

        phone.open("/boat/season")
        expect(page.get_by_role("img", name=re.compile("FIM: .* deep dives done"))).to_be_visible()
        phone.open("/boat/log?from=somewhere")
        expect(page.locator(".rows .state").first).to_have_text("saved here")

    with kept_browser(chromium, profile, server) as phone:
        phone.context.set_offline(True)
        phone.open("/")
        assert phone.page.url.endswith("/boat/today")
        expect(phone.page.locator(".dives")).to_contain_text("done")


@pytest.mark.keeps_app
def test_a_page_that_needs_the_server_says_so_and_what_works_without(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    page = phone.open("/seasons/")
    expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
    page.get_by_role("link", name="To Today").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")


@pytest.mark.keeps_app
def test_a_buddy_page_without_signal_comes_as_the_shell_that_its_phone_kept(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    page = phone.open("/share/some-link-never-opened-here")
    expect(page.get_by_text("No signal, and this phone has not kept this list.")).to_be_visible()


@pytest.mark.keeps_app
def test_what_was_logged_without_signal_goes_out_by_itself_when_it_is_back(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    phone.log_as_planned()
    phone.says("1 saved here, not sent yet.")
    phone.context.set_offline(False)
    phone.sent()
    assert phone.kept("outbox") == []


def test_a_phone_that_never_signed_in_still_keeps_a_dive_and_sends_it_after_sign_in(new_phone) -> None:  # type: ignore[no-untyped-def]
    phone: BoatPhone = new_phone()
    page = phone.open("/boat/dive")
    page.get_by_role("radio", name=re.compile("^CNF")).check()
    page.get_by_role("radio", name="drill").check()
    page.get_by_label("Depth reached").fill("17")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    phone.says("Sign in to send them")

    phone.sign_in()
    phone.sent()
    assert [row["rev"] for row in phone.dives_today()] == [1]
