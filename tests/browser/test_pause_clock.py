"""The surface-interval clock: worked out from moments, so that it is right after the phone has slept."""

from __future__ import annotations

import re
from datetime import timedelta

from playwright.sync_api import Page, expect
from support.boat import MORNING, BoatPhone


def shown_seconds(page: Page) -> int:
    minutes, seconds = page.locator("#since").inner_text().split(":")
    return int(minutes) * 60 + int(seconds)


def test_the_clock_is_right_after_the_phone_slept_and_after_a_reload(phone: BoatPhone) -> None:
    phone.log_as_planned()
    page = phone.open("/boat/today")
    before = shown_seconds(page)

    page.clock.fast_forward("12:00")  # timers fire once, as after a locked screen
    expect(page.locator("#since")).to_have_text(re.compile(r"^12:\d\d$"))
    assert 720 <= shown_seconds(page) - before <= 735
    page.reload()
    assert 720 <= shown_seconds(page) - before <= 740


def test_each_rule_is_named_with_its_pause_and_none_says_go(phone: BoatPhone) -> None:
    phone.log_as_planned("1:30")
    page = phone.open("/boat/today")
    pauses = page.get_by_role("table", name="Shortest pause by each rule; the longest counts")
    expect(pauses.get_by_role("row").filter(has_text="2 x dive time")).to_contain_text("3:00")
    expect(pauses.get_by_role("row").filter(has_text="dive time x absolute pressure")).to_be_visible()
    expect(page.get_by_text("None of them makes a dive safe; longer is better.")).to_be_visible()

    page.clock.fast_forward("03:30")
    expect(pauses.get_by_role("row").filter(has_text="2 x dive time")).to_contain_text("passed")
    clock = page.get_by_role("region", name="Surface interval")
    expect(clock).not_to_contain_text(re.compile(r"\b(go|ready|safe to)\b", re.IGNORECASE))


def test_a_clock_set_back_is_shown_and_never_counts_below_nothing(phone: BoatPhone) -> None:
    phone.log_as_planned()
    page = phone.open("/boat/today")
    page.clock.set_system_time(MORNING - timedelta(hours=1))
    page.reload()
    expect(page.locator("#since")).to_have_text("?")
    expect(page.get_by_text("lies ahead of this phone's clock")).to_be_visible()


def test_a_page_left_open_overnight_turns_to_the_new_day(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    expect(page.locator("#day")).to_contain_text("Wednesday 20 May")
    page.clock.fast_forward("16:30:00")
    expect(page.locator("#day")).to_contain_text("Thursday 21 May")
