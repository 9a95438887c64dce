"""A coach and their student: what the coach's page shows, and what becomes of what the coach proposes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import BoatPhone, Server
from support.faulty import NewPhone, send_now, until
from support.sharing import add_diver, give, log_of

from webapp.cli import demo

COACH, OTHER = "Odd Fenning", "Mira Sand"
TARGET = ".next .big"


def signed_in(new_phone: NewPhone, server: Server, name: str) -> BoatPhone:
    add_diver(server, name)
    phone = new_phone(service_workers="block")
    phone.fill_in_sign_in("/boat/today", name)
    phone.says("Last sent")
    return phone


@pytest.fixture
def coach(new_phone: NewPhone, server: Server) -> BoatPhone:
    return signed_in(new_phone, server, COACH)


def propose(phone: BoatPhone, log: str, what: str, says: str, **fields: str) -> Page:
    """Fill in the form of the opened student, and wait until the proposal stands in the list."""
    page = phone.open(f"/boat/coach?student={log}")
    page.get_by_role("radio", name=what).check()
    for name, value in fields.items():
        page.locator(f"#{name}").fill(value)
    page.locator("#says").fill(says)
    page.locator("#send-proposal").click()
    expect(page.locator(".made li", has_text=says)).to_have_count(1)
    return page


def deliver(phone: BoatPhone) -> None:
    """Sync until nothing waits, and nothing was refused."""
    send_now(phone)
    until(phone, lambda: phone.kept("outbox") == [])
    assert [row["faults"] for row in phone.kept("parked")] == []


def fits(page: Page) -> bool:
    page.set_viewport_size({"width": 320, "height": 700})
    fine = page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    page.set_viewport_size({"width": 390, "height": 844})
    return bool(fine)


def test_a_cap_holds_at_once_goes_when_it_is_declined_and_an_easy_day_of_another_coach_holds_beside_it(
    coach: BoatPhone, phone: BoatPhone, server: Server, new_phone: NewPhone
) -> None:
    page = coach.open("/boat/coach")
    expect(page.locator("#nobody")).to_contain_text("Nobody shares a log with you")
    log = log_of(server, demo.NAME)
    give(server, log, COACH, "list", "log", "propose")
    send_now(coach)
    expect(page.locator(".student")).to_contain_text("Today: ")
    expect(page.locator(".student h2")).to_have_text(demo.NAME)
    expect(page.locator("#progress svg.week-line").first).to_be_visible()
    assert violations(page) == []
    assert fits(page)
    usual = phone.open("/boat/today").locator(TARGET)
    expect(usual).to_be_visible()
    before = float(usual.inner_text().removesuffix("m"))

    page = propose(coach, log, "Not deeper than", "ears first", depth_m=f"{before - 2:g}")
    assert violations(page) == []
    assert fits(page)
    deliver(coach)
    send_now(phone)
    page = phone.open("/boat/today")
    expect(page.locator(".next-dive")).to_contain_text(f"Ears first ({COACH})")
    assert float(page.locator(TARGET).first.inner_text().removesuffix("m")) <= before - 2
    page.locator("#proposed a").click()
    card = page.locator("#proposals section").first
    expect(card).to_be_visible()
    expect(card).to_contain_text("It holds since today. Decline it to take it off.")
    assert violations(page) == []
    assert fits(page)
    card.get_by_role("button", name="Decline").click()
    page.locator("#earlier summary").click()
    expect(page.locator("#earlier")).to_contain_text("You declined it.")
    page = phone.open("/boat/today")
    expect(page.locator("#proposed")).to_have_count(0)
    expect(page.locator(TARGET)).to_have_text(f"{before:g}m")

    other = signed_in(new_phone, server, OTHER)
    give(server, log, OTHER, "list", "log", "propose")
    send_now(other)
    page = propose(other, log, "An easy day", "a day of rest")
    deliver(other)
    send_now(phone)
    page = phone.open("/boat/today")
    expect(page.locator(".day-kind")).to_contain_text(f"a day of rest ({OTHER})")

    give(server, log, OTHER, "list")
    send_now(other)
    student = other.open(f"/boat/coach?student={log}").locator(".student")
    expect(student).to_contain_text("The log is not shared: no signs, no verdicts.")
    expect(student.locator(".listed")).to_contain_text("drill")  # what a buddy sees
    expect(student.locator("#propose, .verdict, .week-line, .needs-look")).to_have_count(0)

    give(server, log, COACH)
    send_now(coach)
    expect(coach.open("/boat/coach").locator("#nobody")).to_be_visible()
