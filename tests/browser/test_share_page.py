"""The buddy's page on a boat without signal: the day it is comes first, whenever the list was fetched."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect
from support.boat import MORNING, BoatPhone, Server
from support.phones import Phone

from webapp import store
from webapp.actions import sharing, sites, sync

NewPhone = Callable[..., BoatPhone]
HOW_MANY = """async () => (await import("/static/js/store/lists.js")).howMany()"""


def fetched(new_phone: NewPhone, server: Server, **options: Any) -> BoatPhone:
    """A buddy's phone that has fetched the list on 20 May, and has no signal since."""
    store.open_store(server.data)
    link = f"/share/{sharing.make_link(1, 'Ebba', MORNING)}"
    store.close()
    phone = new_phone(**options)
    page = phone.open(link)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    while page.evaluate(HOW_MANY) == 0:
        page.wait_for_timeout(50)
    expect(days(page).first).to_have_text("Wednesday 20 May")
    phone.context.set_offline(True)
    return phone


@pytest.fixture
def buddy(new_phone: NewPhone, server: Server) -> BoatPhone:
    return fetched(new_phone, server)


def days(page: Page) -> Locator:
    """The days that are seen, without those folded away."""
    return page.locator(".buddy-day time").filter(visible=True)


@pytest.mark.keeps_app
def test_two_days_after_the_list_was_fetched_the_third_day_comes_first_and_the_others_are_folded(
    buddy: BoatPhone,
) -> None:
    page = buddy.page
    page.clock.set_system_time(MORNING + timedelta(days=2))
    page.reload()
    expect(page.get_by_role("status")).to_contain_text("No signal: this is the list as it was")
    expect(days(page).first).to_have_text("Friday 22 May")
    expect(page.locator(".buddy-day").first).to_contain_text("Friday 22 May")

    past = page.locator("details")
    past.get_by_text("Past days (2)").click()
    expect(past.locator("time")).to_have_text(["Wednesday 20 May", "Thursday 21 May"])
    expect(days(page).filter(has_text="Thursday 21 May")).to_have_count(1)


@pytest.mark.keeps_app
def test_a_page_left_open_overnight_without_signal_turns_to_the_new_day(buddy: BoatPhone) -> None:
    page = buddy.page
    page.clock.fast_forward("24:00:00")
    expect(days(page).first).to_have_text("Thursday 21 May")
    expect(page.get_by_role("status")).to_contain_text("No signal: this is the list as it was")

    page.get_by_text("Past days (1)").click()
    page.clock.fast_forward("24:00:00")
    expect(page.get_by_text("Past days (2)")).to_be_visible()
    expect(page.locator("details time")).to_have_text(["Wednesday 20 May", "Thursday 21 May"])
    expect(days(page).first).to_have_text("Friday 22 May", timeout=1_000)


@pytest.mark.keeps_app
def test_the_new_day_begins_at_midnight_where_the_phone_is(new_phone: NewPhone, server: Server) -> None:
    page = fetched(new_phone, server, timezone_id="Pacific/Auckland").page  # 20:00 on 20 May there
    page.clock.fast_forward("03:30:00")
    expect(days(page).first).to_have_text("Wednesday 20 May")
    page.clock.fast_forward("00:40:00")
    expect(days(page).first).to_have_text("Thursday 21 May")
    expect(page.get_by_text("Past days (1)")).to_be_visible()


@pytest.mark.keeps_app
def test_after_the_season_the_kept_list_has_past_days_only_and_says_so(buddy: BoatPhone) -> None:
    page = buddy.page
    page.clock.set_system_time(MORNING + timedelta(days=90))
    page.reload()
    expect(page.get_by_text("No dives are planned from today on.")).to_be_visible()
    expect(days(page)).to_have_count(0)
    expect(page.get_by_text("Past days (30)")).to_be_visible()


@pytest.mark.keeps_app
def test_with_signal_the_servers_own_day_comes_first_whatever_the_buddys_phone_holds_for_today(
    buddy: BoatPhone,
) -> None:
    """A buddy whose clock is ahead of the diver's still sees the diver's day."""
    buddy.context.set_offline(False)
    page = buddy.page
    page.clock.set_system_time(MORNING + timedelta(days=1))
    with page.expect_response("**/list.json"):
        page.reload()
    expect(page.get_by_role("status")).to_be_hidden()
    expect(days(page).first).to_have_text("Wednesday 20 May")
    expect(page.locator("details")).to_have_count(0)


@pytest.mark.keeps_app
def test_a_list_taken_back_while_the_page_was_closed_goes_when_the_link_is_opened_again(
    buddy: BoatPhone, server: Server
) -> None:
    page, link = buddy.page, buddy.page.url
    page.goto("about:blank")
    store.open_store(server.data)
    sharing.revoke(1, sharing.links(1)[0].id, MORNING)
    store.close()
    buddy.context.set_offline(False)
    answer = page.goto(link)
    assert answer is not None
    assert answer.status == 404
    expect(page.get_by_role("heading", level=1)).to_have_text("This link is not valid any more")
    while page.evaluate(HOW_MANY):
        page.wait_for_timeout(50)
    expect(page.locator(".buddy-day")).to_have_count(0)


SAVE_PLAN = {"emergency_phone": "112", "latitude": 58.20575, "longitude": 10.5, "oxygen_where": "under the bench"}
FORGET_PLAN = """async () => {
  const { keep, kept } = await import("/static/js/store/lists.js");
  const { plan, ...older } = await kept(location.pathname);
  await keep(location.pathname, older);
}"""


@pytest.mark.keeps_app
def test_without_signal_the_buddy_has_the_emergency_plan_and_a_list_kept_before_there_was_one_still_opens(
    new_phone: NewPhone, server: Server
) -> None:
    store.open_store(server.data)
    diver = Phone()
    diver.put(next(iter(sites.listed(1))), SAVE_PLAN, kind="site")
    sync.sync(1, diver.request(), MORNING)
    store.close()
    buddy = fetched(new_phone, server)
    page = buddy.page
    page.reload()
    page.get_by_text("If something goes wrong").click()
    expect(page.locator("a.call")).to_have_attribute("href", "tel:112")
    expect(page.locator("#site-plan .degrees").first).to_have_text("58° 12.345′ N10° 30.000′ E")
    expect(page.locator("#site-plan")).to_contain_text("under the bench")

    page.evaluate(FORGET_PLAN)
    page.reload()
    expect(page.get_by_role("status")).to_contain_text("No signal: this is the list as it was")
    expect(days(page).first).to_have_text("Wednesday 20 May")
    expect(page.locator("#site-plan")).to_have_count(0)
