"""Before the first deep dive: the check at the line, and a safety diver named before the target is shown.

What is looked at, and that every deep dive has a named safety diver: common practice, no source.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import TODAY, BoatPhone

from webapp.rulebook_file import read_rulebook

FORGET = """async () => {
  const { write, getKept } = await import("/static/js/store/db.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  const key = keyOf.safety((await getKept("user")).id);
  await write(["kept"], ({ kept }) => void kept.delete(key));
}"""

NEXT_DAY = """async () => (await (await import("/static/js/store/slate.js")).readSlate()).plan.next.date"""


def unnamed(phone: BoatPhone, path: str) -> Page:
    """The page on a day on which nobody has named a safety diver yet."""
    phone.page.evaluate(FORGET)
    return phone.open(path)


def day_record(phone: BoatPhone) -> dict[str, Any]:
    return next(
        dict(row["fields"])
        for row in phone.kept("records")
        if row["kind"] == "day" and row["fields"]["date"] == TODAY and not row["deleted"]
    )


def test_a_safety_diver_who_is_taken_back_hides_the_target_in_every_window(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    other = phone.context.new_page()
    other.goto(phone.server.url + "/boat/today")
    expect(other.locator(".next .big")).to_be_visible()

    page.locator("#rename-safety").click()

    for window in (page, other):
        expect(window.locator("#name-safety")).to_be_visible()
        expect(window.locator(".next .big")).to_have_count(0)


@pytest.mark.keeps_app
def test_a_deep_target_is_hidden_until_a_safety_diver_is_named_and_the_log_keeps_who_it_was(phone: BoatPhone) -> None:
    target = phone.open("/boat/today").locator(".next .big").inner_text().removesuffix("m")
    page = unnamed(phone, "/boat/today")
    phone.context.set_offline(True)
    shown = page.locator("#today")
    expect(page.locator("#name-safety")).to_contain_text("Who is safety diver for the FIM deep dive?")
    expect(page.locator(".next .big")).to_have_count(0)
    expect(shown).not_to_contain_text(re.compile(rf"\b{target} m"))  # nor in the list, nor on a link to its card
    assert page.locator(f"a[href*='depth={target}']").count() == 0

    is_hidden_where_the_day_is_prepared(phone, target)

    page = phone.open("/boat/today")
    page.get_by_label("Another name").fill("Runa Falk")
    page.get_by_role("button", name="Name the safety diver").click()
    expect(page.locator(".next .big")).to_have_text(f"{target}m")
    assert page.evaluate("parseFloat(getComputedStyle(document.querySelector('.next .big')).fontSize)") >= 64
    expect(page.locator("#named-safety")).to_contain_text("Safety diver: Runa Falk")
    expect(page.locator("#line-reminder")).to_have_text(
        re.compile(r"Look again: lanyard on, line at [\d.]+ m, weights\.")
    )

    page.locator("#log-dive").click()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    (dive,) = (row for row in phone.dives_today() if row["fields"].get("role") == "deep")
    assert dive["fields"]["safety"] == "Runa Falk"
    assert dive["fields"]["line_m"] >= float(target)
    page = phone.open("/boat/log")
    for line in page.locator(".log-line").all()[:2]:  # of the same minute
        line.click()
    expect(page.locator(".log-more", has_text="safety diver Runa Falk · line")).to_be_visible()


def is_hidden_where_the_day_is_prepared(phone: BoatPhone, target: str) -> None:
    """Nor do morning, check, clock and a saved warm-up tell the target, the line that is set for it, or its times."""
    tells = re.compile(rf"\b{target}(\.\d)? m|{int(target) + 1}")
    page = phone.open("/boat/ready")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#effect + p")).to_have_text("FIM deep dive, target after the safety diver is named")
    expect(page.locator("#ready")).not_to_contain_text(tells)
    page = phone.open("/boat/check")
    expect(page.locator("#name-safety")).to_be_visible()
    expect(page.locator("#check")).not_to_contain_text(tells)
    page = phone.open("/boat/clock?plan=0")
    expect(page.locator(".clock-which")).to_have_text("FIM deep dive, target after the safety diver is named")
    expect(page.locator(".clock-figures")).to_have_count(0)
    page.locator("#safety").fill("Runa Falk")
    expect(page.locator(".clock-which")).to_have_text(f"FIM deep dive, {target} m")
    expect(page.locator(".clock-figures")).to_be_visible()
    page = phone.open("/boat/dive?role=warm-up")
    page.get_by_label("Depth reached").fill("12")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    expect(page.locator("#next-hidden")).to_have_text(
        "Next deep dive: FIM deep dive today, target after the safety diver is named."
    )


def test_who_was_safety_diver_before_is_one_touch_and_a_change_hides_the_target_again(phone: BoatPhone) -> None:
    phone.log_as_planned()  # with the safety diver that was named
    page = unnamed(phone, "/boat/today")
    page = phone.open("/boat/check")
    expect(page.locator("#name-safety")).to_have_count(0)  # no deep dive is left today
    page.clock.set_system_time(page.evaluate(NEXT_DAY) + "T08:00:00Z")
    page = phone.open("/boat/today")
    page.get_by_role("button", name="Ilka Moor").click()
    expect(page.locator(".next .big")).to_be_visible()
    page.get_by_role("button", name="Change").click()
    expect(page.locator(".next .big")).to_have_count(0)


@pytest.mark.keeps_app
def test_the_check_shows_line_and_bottom_keeps_each_touch_and_is_done_when_all_is_looked_at(phone: BoatPhone) -> None:
    items = read_rulebook().texts["check"]
    phone.context.set_offline(True)
    page = phone.open("/boat/check")
    expect(page.locator("#line-head + .next")).to_have_text(re.compile(r"^[\d.]+ m$"))
    expect(page.locator("#items-head")).to_have_text(f"0 of {len(items)} checked")
    for code, item in items.items():
        page.get_by_role("checkbox", name=item["says"]).check()
        expect(page.locator(f"#check-{code}")).to_be_checked()
    expect(page.locator("#items-head")).to_have_text(f"{len(items)} of {len(items)} checked")
    assert set(day_record(phone)["checked"]) == set(items)
    page.get_by_role("link", name="Back to Today").click()
    expect(page.locator("#to-check")).to_have_text("Check at the line ✓")

    page = phone.open("/boat/check")
    page.get_by_role("checkbox", name=items["oxygen"]["says"]).uncheck()
    expect(page.locator("#items-head")).to_have_text(f"{len(items) - 1} of {len(items)} checked")
    assert "oxygen" not in day_record(phone)["checked"]


def test_own_items_stay_on_the_list_and_rescue_practised_once_holds_for_the_season(phone: BoatPhone) -> None:
    items = read_rulebook().texts["check"]
    page = phone.open("/boat/check")
    page.get_by_text("Own items").click()
    page.get_by_label("One more thing to look at").fill("Spare <b>mask</b>")
    page.get_by_role("button", name="Add it").click()
    page.get_by_role("checkbox", name="Spare <b>mask</b>").check()
    page.get_by_role("checkbox", name=items["rescue"]["says"]).check()
    expect(page.locator("#items-head")).to_have_text(f"2 of {len(items) + 1} checked")
    page.clock.set_system_time("2026-05-22T08:00:00Z")
    page = phone.open("/boat/check")
    expect(page.locator("#items-head")).to_have_text(f"1 of {len(items) + 1} checked")
    expect(page.get_by_role("checkbox", name=f"{items['rescue']['says']} (Wed 20 May)")).to_be_checked()
    expect(page.get_by_role("checkbox", name="Spare <b>mask</b>")).not_to_be_checked()
    page.get_by_role("button", name="Remove: Spare").click()
    expect(page.locator("#items-head")).to_have_text(f"1 of {len(items)} checked")
