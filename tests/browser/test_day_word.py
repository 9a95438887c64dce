"""The diver's word for a day, said on the boat: it makes the day easier at once, on every device, and can be undone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from support.boat import MORNING, PHONE, TODAY, BoatPhone, Server
from support.faulty import until

DAY_ID = """([user, day]) => import("/static/js/plan/day_word.js").then(({ dayId }) => dayId(user, day))"""


def said(phone: BoatPhone) -> list[dict[str, Any]]:
    return [row["fields"] for row in phone.kept("records") if row["kind"] == "day" and not row["deleted"]]


def day_page(phone: BoatPhone) -> Page:
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Make today easier").click()
    expect(page.get_by_role("heading", name="The plan now")).to_be_visible()
    return page


@pytest.mark.keeps_app
def test_two_touches_from_today_without_signal_make_a_day_off_and_one_takes_it_back(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    target = page.locator(".next .big").inner_text()
    phone.context.set_offline(True)
    page.get_by_role("link", name="Make today easier").click()
    page.get_by_role("checkbox", name="Sick").check()
    expect(page.locator("#word-does")).to_contain_text("Day off")
    assert [fields["no_diving"] for fields in said(phone)] == ["sick"]

    page.get_by_role("link", name="Back to Today").click()
    expect(page.locator(".day-kind")).to_have_text("Day off: no diving, as you said: sick")
    expect(page.locator(".next-dive")).to_have_count(0)
    expect(page.locator("#easier")).to_contain_text("You said: no diving (sick).")

    page.get_by_role("link", name="Change it").click()
    expect(page.get_by_role("checkbox", name="Sick")).to_be_checked()
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("checkbox", name="Sick")).not_to_be_checked()
    expect(page.locator("#word-does")).to_contain_text(f"FIM deep dive, {target.removesuffix('m')} m")
    assert said(phone) == []


def test_an_easier_day_shows_its_new_target_and_why_and_everything_said_is_shown_again(phone: BoatPhone) -> None:
    page = day_page(phone)
    expect(page.locator("#day-title + * + p")).to_contain_text("can only make a day easier")
    page.get_by_role("checkbox", name="2 rungs").check()
    page.get_by_label("Note").fill("short night")
    page.get_by_role("link", name="Back to Today").click()
    expect(page.locator(".next-dive")).to_contain_text(re.compile(r"2 steps shallower than \d+ m, as you asked"))

    page.get_by_role("link", name="Change it").click()
    expect(page.get_by_role("checkbox", name="2 rungs")).to_be_checked()
    expect(page.get_by_label("Note")).to_have_value("short night")
    page.get_by_role("checkbox", name="3 rungs").check()  # one choice at a time
    expect(page.get_by_role("checkbox", name="2 rungs")).not_to_be_checked()
    page.get_by_role("checkbox", name="CNF").check()
    expect(page.locator("#word-does")).to_contain_text("CNF instead of FIM today, as you asked")
    expect(page.locator("#lead")).not_to_contain_text("FIM")  # it is the planned one


def test_how_hard_the_whole_day_was_is_kept_and_a_number_that_is_none_is_told_beside_it(phone: BoatPhone) -> None:
    page = day_page(phone)
    hard, minutes = page.get_by_label("How hard was the whole day"), page.get_by_label("Minutes in the water")
    hard.fill("0")
    minutes.fill("7 h")
    minutes.press("Tab")
    expect(page.locator("#minutes-fault")).to_have_text(
        "Minutes in the water must be a whole number from 0 to 720, or nothing."
    )
    assert [fields["rpe"] for fields in said(phone)] == [0]
    minutes.fill("95")
    page.get_by_role("link", name="Back to Today").click()
    page.wait_for_url("**/boat/today")
    assert [(fields["rpe"], fields["minutes"]) for fields in said(phone)] == [(0, 95)]
    page = phone.open("/boat/day")
    expect(page.get_by_label("How hard was the whole day")).to_have_value("0")
    page.get_by_label("Minutes in the water").fill("")
    page.get_by_label("Minutes in the water").press("Tab")
    page.get_by_label("Note").press_sequentially("calm")
    page.get_by_label("Note").fill("")
    page.get_by_role("link", name="Back to Today").click()
    page.wait_for_url("**/boat/today")
    assert [(fields["rpe"], fields["minutes"]) for fields in said(phone)] == [(0, None)]  # 0 alone still says something


def test_the_last_letter_of_the_note_is_kept_whichever_way_the_page_is_left(phone: BoatPhone) -> None:
    page = day_page(phone)
    page.get_by_label("Note").press_sequentially("short night")
    page.locator("nav a[href='/boat/log']").last.evaluate("link => link.click()")
    page.wait_for_url("**/boat/log")
    assert [fields["note"] for fields in said(phone)] == ["short night"]

    page = phone.open("/boat/day")
    expect(page.get_by_label("Note")).to_have_value("short night")
    page.get_by_label("Note").press("End")
    page.get_by_label("Note").press_sequentially(", cold")
    page.evaluate("dispatchEvent(new PageTransitionEvent('pagehide'))")
    until(phone, lambda: [fields["note"] for fields in said(phone)] == ["short night, cold"])


def test_a_word_for_several_days_holds_until_its_day_and_ends_with_one_touch(phone: BoatPhone) -> None:
    page = day_page(phone)
    page.get_by_role("checkbox", name="Travel").check()
    page.get_by_label("Until").fill("2026-05-19")
    expect(page.locator("#to-fault")).to_contain_text("Until is before the day itself")
    page.get_by_label("Until").fill("2026-12-24")
    expect(page.locator("#to-fault")).to_contain_text("Until is too late: at most 60 days")
    page.get_by_label("Until").fill("2026-05-22")
    expect(page.locator("#to-fault")).to_be_empty()
    until(phone, lambda: [fields["to"] for fields in said(phone)] == ["2026-05-22"])
    page.clock.fast_forward("24:00:00")
    page = phone.open("/boat/day")
    expect(page.locator("#word-does")).to_contain_text(
        "You said on Wednesday 20 May: no diving (travel), until 22 May."
    )
    page.get_by_role("button", name="End this the day before").click()
    expect(page.locator("#word-does")).not_to_contain_text("Day off")
    assert [fields["to"] for fields in said(phone)] == [TODAY]


def test_after_a_deep_dive_one_touch_says_that_it_was_too_taxing(phone: BoatPhone) -> None:
    phone.log_as_planned()
    phone.page.get_by_role("button", name="Too taxing to repeat tomorrow").click()
    expect(phone.page.locator("#taxing")).to_contain_text("Noted")
    assert [fields["taxing"] for fields in said(phone)] == [True]
    phone.page.clock.fast_forward("24:00:00")
    phone.open("/boat/today")
    expect(phone.page.locator(".day-kind")).to_contain_text("the deep dive on 20 May was taxing")


@pytest.mark.keeps_app
def test_two_phones_without_signal_write_one_record_and_the_server_merges_it(
    chromium: Browser, server: Server, signed_in: list[Any]
) -> None:
    phones = []
    for _ in range(2):
        context = chromium.new_context(**PHONE)
        context.clock.install(time=MORNING)
        phone = BoatPhone(context, server)
        phone.visit(signed_in)
        context.set_offline(True)
        phones.append(phone)
    first, second = phones
    day_page(first).get_by_role("checkbox", name="1 rung", exact=True).check()
    day_page(second).get_by_role("checkbox", name="Same depth again").check()
    for phone in phones:
        expect(phone.page.get_by_role("button", name="Take it back")).to_be_visible()
        phone.context.set_offline(False)
        phone.open("/boat/log")
        phone.sent()
    first.open("/boat/log")
    expect(first.page.locator("#log")).to_contain_text("Change to a day, same depth again, 1 rung shallower")

    (record,) = [row for row in first.kept("records") if row["kind"] == "day"]
    assert record["record"] == "20260520-0000-8000-8000-000000000001"
    assert (record["fields"]["hold"], record["fields"]["shallower"]) == (True, 1)
    page = first.open(f"/history/{record['record']}")
    expect(page.locator("main")).to_contain_text("Same depth again")
    first.context.close()
    second.context.close()


@pytest.mark.parametrize(
    ("user", "day", "record"),
    [
        (1, "2026-05-20", "20260520-0000-8000-8000-000000000001"),
        (31, "2027-12-01", "20271201-0000-8000-8000-00000000001f"),
    ],
)
def test_the_id_of_a_word_follows_from_diver_and_day_alone(phone: BoatPhone, user: int, day: str, record: str) -> None:
    assert phone.page.evaluate(DAY_ID, [user, day]) == record


def test_the_log_and_the_history_say_it_in_words(phone: BoatPhone) -> None:
    day_page(phone).get_by_role("checkbox", name="Weather").check()
    expect(phone.page.get_by_role("button", name="Take it back")).to_be_visible()  # it is saved
    page = phone.open("/boat/log")
    line = page.locator(".log-line", has_text="no diving (weather)")
    line.click()
    phone.sent()
    phone.open("/boat/log")
    page.locator(".log-line", has_text="no diving (weather)").click()
    page.get_by_role("link", name="History").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text(
        "History of the change to a day of Wed 20 May 2026, Weather"
    )
    expect(page.locator("dl")).to_contain_text("Weather")
    expect(page.locator("dl")).not_to_contain_text("False")
