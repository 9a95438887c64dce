"""Conditions and gear of a day and of a dive, more about a dive, and the care page: none of it stands in the way."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect
from support.boat import TODAY, BoatPhone

MORE = ("free_fall_m", "down_s", "hang_s", "equalisation", "equalised_m", "recovery")
DRAFTED = """async () => {
  const { readSlate } = await import("/static/js/store/slate.js");
  return Object.values((await readSlate()).kept).some((value) => value?.visibility_m === "9");
}"""
NEWS = """async () => {
  const { CHANGED, tellHere } = await import("/static/js/store/news.js");
  document.querySelector("#needed-head").textContent = "before the news";
  tellHere(CHANGED);
}"""


def of_day(phone: BoatPhone, day: str) -> dict[str, Any]:
    rows = [row for row in phone.kept("records") if row["kind"] == "day" and row["fields"]["date"] == day]
    return dict(rows[0]["fields"])


@pytest.mark.keeps_app
def test_conditions_and_gear_are_filled_in_from_the_last_day_at_the_site_and_shown_with_the_dive(
    phone: BoatPhone,
) -> None:
    phone.context.set_offline(True)
    page = phone.open("/boat/conditions?date=2026-05-18")
    page.locator("#current").get_by_role("radio", name="Light").check()
    page.get_by_label("Visibility (m)").fill("18")
    page.get_by_label("Suit").fill("two pieces, 3 mm")
    page.get_by_label("Lead at the neck (kg)").fill("1,5")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".saved")).to_be_visible()

    page = phone.open("/boat/conditions")
    expect(page.locator("#filled-in")).to_contain_text("Filled in from Monday 18 May")
    expect(page.get_by_label("Suit")).to_have_value("two pieces, 3 mm")
    page.get_by_label("Visibility (m)").fill("far")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#visibility_m-fault")).to_have_text("Visibility must be a number, or nothing.")
    page.get_by_label("Visibility (m)").fill("9")
    page.wait_for_function(DRAFTED)
    page.goto(phone.server.url + "/boat/today")
    page.locator("#to-conditions").click()  # the page was left: what was typed is still there
    expect(page.get_by_label("Visibility (m)")).to_have_value("9")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".saved")).to_be_visible()
    said = of_day(phone, TODAY)
    assert (said["current"], said["visibility_m"], said["neck_kg"]) == ("light", 9, 1.5)
    page = phone.open("/boat/log")
    page.locator("summary", has_text="About the day").first.click()
    expect(page.locator(".log-more").first).to_contain_text("Current light · Visibility 9 m · Lead at the neck 1.5 kg")


@pytest.mark.keeps_app
def test_more_about_a_dive_stands_behind_one_fold_and_a_clean_dive_is_saved_in_two_touches(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    phone.context.set_offline(True)
    page.locator("#log-dive").click()
    expect(page.locator("#more-of-dive")).not_to_have_attribute("open", "")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    page.get_by_role("link", name="Edit this dive").click()
    page.get_by_text("More about this dive").click()
    page.get_by_label("Free fall from (m)").fill("18")
    page.get_by_label("Dive time").fill("2:05")
    page.get_by_label("Time down").fill("3:00")
    page.get_by_label("Time at the plate").fill("0:07")
    page.locator("#equalisation").get_by_role("radio", name="Mouthfill").check()
    page.get_by_label("Equalisation ended at (m)").fill("150")
    page.locator("#recovery").get_by_role("radio", name="Easy").check()
    page.get_by_text("Conditions and gear, where").click()
    page.locator("#current").get_by_role("radio", name="Strong").check()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#equalised_m-fault")).to_contain_text("is deeper than the dive went")
    expect(page.locator("#down_s-fault")).to_contain_text("must be less than the dive time")
    page.get_by_label("Time down").fill("0:41")
    page.get_by_label("Equalisation ended at (m)").fill("30")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    fields = phone.dives_today()[0]["fields"]
    assert {name: fields[name] for name in MORE} == {
        "free_fall_m": 18, "down_s": 41, "hang_s": 7, "equalisation": "mouthfill", "equalised_m": 30,
        "recovery": "easy",
    }  # fmt: skip
    page = phone.open("/boat/log")
    page.locator(".log-line").first.click()
    more = page.locator(".log-more").first
    expect(more).to_contain_text("free fall from 18 m · 0:41 down · 0:07 at the plate · mouthfill")
    expect(more).to_contain_text("equalisation ended at 30 m")
    expect(more).to_contain_text("Current strong")
    phone.context.set_offline(False)
    phone.says("Last sent")


@pytest.mark.keeps_app
def test_after_a_squeeze_the_care_page_says_what_was_reported_what_to_do_and_what_is_needed_to_dive_again(
    phone: BoatPhone,
) -> None:
    expect(phone.open("/boat/care").locator("#care")).to_contain_text("No event of the last 28 days is in the log.")
    phone.context.set_offline(True)
    page = phone.open("/boat/dive")
    page.locator("#signs").get_by_role("checkbox", name="Cough").check()
    page.get_by_label("Note").fill("tickle after the turn")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Record a doctor's clearance").click()
    care = page.locator("#care")
    expect(page.locator(".caution").first).to_contain_text("is a squeeze until a doctor says otherwise")
    expect(care).to_contain_text("Reported on Wednesday 20 May")
    expect(care).to_contain_text("Cough after the dive. tickle after the turn")
    expect(care).to_contain_text("Nothing makes them shorter.")
    expect(care).to_contain_text("not recorded")
    expect(care).to_contain_text("The way back is planned once the clearance is recorded.")

    page.clock.set_system_time("2026-05-22T08:00:00Z")  # long before the minimum
    page = phone.open("/boat/care")
    page.get_by_label("Cleared by").press_sequentially("Dr. Ilse")
    page.evaluate(NEWS)  # as when a sync ends in the middle of a word
    expect(page.get_by_role("heading", name="Needed to dive again")).to_be_visible()
    page.keyboard.type(" Norr")
    expect(page.get_by_label("Cleared by")).to_have_value("Dr. Ilse Norr")
    page.get_by_label("Note").fill("lungs clear on the scan")
    page.get_by_role("button", name="Record the clearance").click()
    care = page.locator("#care")
    expect(care).to_contain_text("lungs clear on the scan")
    expect(page.locator("#needed-head + ol")).to_contain_text("not before")  # a clearance does not end the minimum
    expect(page.locator("#back-head")).to_be_visible()
    back = page.locator("#back-head + ol > li")
    expect(back.first).to_contain_text("Wed 3 Jun CNF deep dive, 18 m")
    assert phone.open("/boat/today").locator(".next-dive").count() == 0
