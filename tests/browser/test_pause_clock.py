"""The surface-interval clock: calculated from moments, so that it is right after the phone has slept."""

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


def test_after_a_deep_dive_the_least_pause_is_seen_above_the_bar_without_scrolling(phone: BoatPhone) -> None:
    phone.log_as_planned()
    page = phone.open("/boat/today")
    expect(page.locator("#least")).to_be_visible()
    least, bar = page.evaluate("""["least", "log-dive"].map((id) => document.getElementById(id).getBoundingClientRect())
      .map(({ top, bottom }) => [top, bottom])""")  # both in one step: a page is drawn anew when a sync ends
    assert least[1] < bar[0]
    expect(page.locator(".next-dive")).to_be_visible()


def test_each_rule_is_named_with_its_pause_and_none_says_go(phone: BoatPhone) -> None:
    phone.log_as_planned("1:30")
    page = phone.open("/boat/today")
    pauses = page.get_by_role("table", name="Shortest pause by each rule; the longest counts")
    expect(pauses.get_by_role("row").filter(has_text="2 x dive time")).to_contain_text("3:00")
    expect(pauses.get_by_role("row").filter(has_text="dive time x absolute pressure")).to_be_visible()
    expect(page.get_by_text("None of them makes a dive safe; longer is better.")).to_be_visible()

    page.clock.fast_forward("03:30")
    expect(pauses.get_by_role("row").filter(has_text="2 x dive time")).to_contain_text("minimum interval reached")
    expect(pauses.locator("caption")).to_contain_text("A minimum is not permission to dive.")
    clock = page.get_by_role("region", name="Surface interval")
    expect(clock).not_to_contain_text(re.compile(r"\b(go|ready|safe to)\b", re.IGNORECASE))
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_drill_in_between_leaves_the_pause_of_the_deep_dive_running(phone: BoatPhone) -> None:
    phone.log_as_planned()
    phone.page.clock.fast_forward("02:00")
    phone.log_with("Depth reached", "12")
    row = phone.open("/boat/today").get_by_role("row", name="the pause after the dive to 44 m is still running")
    expect(row).to_contain_text(re.compile(r"[67]:\d\d"))
    expect(phone.page.locator("#least")).to_have_text(re.compile(r"at least [67]:\d\d by the longest rule"))


def test_a_clock_set_back_is_shown_and_never_counts_below_nothing(phone: BoatPhone) -> None:
    phone.log_as_planned()
    page = phone.open("/boat/today")
    page.clock.set_system_time(MORNING - timedelta(hours=1))
    page.reload()
    expect(page.locator("#since")).to_have_text("?")
    expect(page.get_by_text("ahead of this phone's clock")).to_be_visible()


def test_a_page_left_open_overnight_turns_to_the_new_day(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    expect(page.locator("#day")).to_contain_text("Wednesday 20 May")
    page.clock.fast_forward("16:30:00")
    expect(page.locator("#day")).to_contain_text("Thursday 21 May")


def log_dive(phone: BoatPhone, reached_m: int, dive_time: str) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill(str(reached_m))
    page.get_by_label("Dive time").fill(dive_time)
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_the_third_dive_to_40_m_or_deeper_within_an_hour_lengthens_the_pause_and_says_why(phone: BoatPhone) -> None:
    """Common practice, no source: half as long again."""
    page = phone.page
    rows = page.get_by_role("table", name="Shortest pause by each rule; the longest counts").locator("tbody tr")
    for _ in range(2):
        log_dive(phone, 42, "1:30")
        phone.open("/boat/today")
        expect(rows).to_have_count(3)
        expect(rows.first).to_contain_text("one minute for each 5 m")
        expect(rows.first).to_contain_text("8:24")
        page.clock.fast_forward("20:00")
    log_dive(phone, 42, "1:30")
    phone.open("/boat/today")
    expect(rows).to_have_count(4)
    expect(rows.first).to_contain_text("third dive to 40 m or deeper within 60 min: a longer pause")
    expect(rows.first).to_contain_text("12:36")
    expect(rows.nth(1)).to_contain_text("8:24")


def test_the_rest_on_the_card_counts_the_dives_before_it_and_is_the_one_that_today_then_shows(phone: BoatPhone) -> None:
    for _ in range(2):
        log_dive(phone, 42, "1:30")
        phone.page.clock.fast_forward("15:00")
    page = phone.open("/boat/card?discipline=FIM&depth=42")
    rest = page.locator("#figures > div", has_text="Rest after surfacing: at least").locator("dd")
    expect(rest).to_contain_text(re.compile(r"^13\s*min"))  # 8:24, half as long again
    row = page.get_by_role("region", name="Rest after surfacing").get_by_role("row").filter(has_text="third dive")
    expect(row).to_contain_text(re.compile(r"at least 13\s*min"))
    log_dive(phone, 42, "1:30")
    phone.open("/boat/today")
    expect(page.locator("#least")).to_have_text("at least 12:36 by the longest rule")


def test_a_card_for_another_day_does_not_count_the_dives_of_today(phone: BoatPhone) -> None:
    for _ in range(3):
        log_dive(phone, 42, "1:30")
        phone.page.clock.fast_forward("05:00")
    page = phone.open("/boat/card")
    expect(page.locator("#card-where")).to_contain_text("next deep dive")
    expect(page.locator("#card-where")).not_to_contain_text("today")
    expect(page.get_by_text("a longer pause")).to_have_count(0)


def test_deep_dives_more_than_an_hour_apart_are_no_repetition(phone: BoatPhone) -> None:
    for _ in range(3):
        log_dive(phone, 42, "1:30")
        phone.page.clock.fast_forward("40:00")
    page = phone.open("/boat/today")
    expect(page.get_by_role("table", name=re.compile("^Shortest pause")).locator("tbody tr")).to_have_count(3)
    expect(page.get_by_text("a longer pause")).to_have_count(0)


def test_a_dive_without_a_time_gets_the_pause_of_its_expected_time_and_the_page_says_so(phone: BoatPhone) -> None:
    log_dive(phone, 44, "")
    page = phone.open("/boat/today")
    expect(page.get_by_text("No dive time was logged: 1:38 is used, the expected time for 44 m.")).to_be_visible()
    pauses = page.get_by_role("table", name=re.compile("^Shortest pause"))
    expect(pauses.get_by_role("row").filter(has_text="2 x dive time")).to_contain_text("3:16")


def test_three_hours_after_the_longest_pause_only_the_time_since_surfacing_is_left(phone: BoatPhone) -> None:
    phone.log_as_planned("1:30")
    page = phone.open("/boat/today")
    clock = page.locator("#pause-rules")
    page.clock.fast_forward("03:05:00")  # the longest pause is nine minutes
    expect(clock.get_by_role("row").filter(has_text="one minute for each 5 m")).to_contain_text(
        "minimum interval reached"
    )
    page.clock.fast_forward("00:06:00")
    expect(clock.get_by_role("table")).to_have_count(0)
    expect(clock.get_by_text("None of them makes a dive safe")).not_to_be_visible()
    expect(page.locator("#since")).to_have_text(re.compile(r"^191:\d\d$"))
