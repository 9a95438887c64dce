"""The season on the phone: each day, its dives, and each reason once; no forecast while nothing is planned."""

from __future__ import annotations

from itertools import pairwise

from playwright.sync_api import Page, expect
from support.boat import MORNING, BoatPhone


def reasons(page: Page) -> list[str]:
    expect(page.get_by_role("heading", name="Every day")).to_be_visible()
    return page.locator(".days .soft.small").all_inner_texts()


def hurt(phone: BoatPhone) -> Page:
    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name="Blood").check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    return phone.open("/boat/season")


def test_a_reason_is_told_on_the_first_of_the_days_that_it_holds_for(phone: BoatPhone) -> None:
    page = phone.open("/boat/season")
    shown = reasons(page)
    assert all(one != other for one, other in pairwise(shown))
    assert "Closed day." not in shown

    told = reasons(hurt(phone))
    assert len([one for one in told if one.startswith("No diving until")]) == 1
    assert page.locator(".days .word", has_text="No diving").count() > 3


def test_while_a_doctors_clearance_is_missing_no_depth_is_said_to_be_reached(phone: BoatPhone) -> None:
    page = phone.open("/boat/season")
    expect(page.get_by_text("The plan reaches").first).to_be_visible()

    hurt(phone)
    ladders = page.locator("section[aria-labelledby^=ladder-]")
    expect(ladders.first).to_contain_text("No dive is planned until a doctor's clearance is recorded.")
    for words in ("reaches", "Now at", "planned for"):
        expect(ladders.filter(has_text=words)).to_have_count(0)


def test_today_is_one_touch_away_in_a_long_season(phone: BoatPhone) -> None:
    page = phone.open("/boat/season")
    page.get_by_role("link", name="To today").click()
    expect(page.locator("li[aria-current=date]")).to_be_in_viewport(ratio=0.5)


def test_a_turned_dive_stands_in_the_season_with_its_target_and_what_was_reached(phone: BoatPhone) -> None:
    phone.log_with("Depth reached", "20")
    page = phone.open("/boat/season")
    expect(page.locator("li[aria-current=date]")).to_contain_text("FIM deep dive, 44 m, turned at 20 m: turned early")


def test_a_rest_day_is_named_once_on_today(phone: BoatPhone) -> None:
    page = phone.open("/boat/season")
    rest = page.locator(".days > li", has_text="Rest day").filter(has_not_text="(today)")
    coming = [
        day for day in rest.locator("strong").all_inner_texts() if day.endswith("May") and int(day.split()[1]) > 20
    ]
    page.clock.set_system_time(MORNING.replace(day=int(coming[0].split()[1])))
    page = phone.open("/boat/today")
    expect(page.locator(".day-kind")).to_have_text("Rest day")
