"""A day that is over: first aid first, no countdown, nothing invites to dive, no cancelled dive comes back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect
from support.boat import BoatPhone

LMC = "Loss of motor control (LMC)"
OUTSIDE = 60 * 86_400_000  # sixty days on, in milliseconds: the demo's season has ended


def log_sign(phone: BoatPhone, sign: str) -> None:
    page = phone.open("/boat/dive")
    expect(page.get_by_role("checkbox", name=sign)).to_be_visible()
    if page.get_by_text("Which dive was it?").is_visible():
        page.get_by_role("radio", name="FIM").check()
        page.get_by_role("radio", name="deep dive").check()
        page.get_by_label("Depth reached").fill("30")
    page.get_by_role("checkbox", name=sign).check()
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_once_the_day_is_over_nothing_counts_down_and_nothing_invites_to_dive(phone: BoatPhone) -> None:
    log_sign(phone, LMC)
    page = phone.open("/boat/today")
    expect(page.get_by_role("heading", name="The day is over")).to_be_visible()
    expect(page.get_by_role("heading", name="Surface interval")).to_have_count(0)
    expect(page.locator(".next-dive")).to_have_count(0)
    expect(page.locator("#log-dive")).not_to_have_class(re.compile("button-primary"))
    expect(page.locator("#log-dive")).to_have_text("Log a dive")
    expect(page.locator(".day-kind")).to_have_count(0)


def test_when_the_day_is_over_the_form_is_empty_and_holds_no_dropped_dive(phone: BoatPhone) -> None:
    log_sign(phone, LMC)
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Log a dive").click()
    expect(page.get_by_text("Which dive was it?")).to_be_visible()
    for address in ("", "?plan=1"):  # an old bookmark of the list too
        page = phone.open(f"/boat/dive{address}")
        expect(page.get_by_label("Depth reached")).to_have_value("")
        expect(page.get_by_label("Target depth")).to_have_value("")
        expect(page.locator("#role input:checked, #discipline input:checked")).to_have_count(0)


def test_what_to_do_stands_first_on_the_day_and_folds_away_on_later_days(phone: BoatPhone) -> None:
    log_sign(phone, "Ear pain")
    page = phone.open("/boat/today")
    ended = page.get_by_role("region", name="No diving")
    expect(ended.locator("h2 + .caution")).to_be_visible()
    expect(ended.locator(".over")).to_contain_text("not before 27 May, after the possible injury on 20 May")
    expect(ended.get_by_text("What to do after")).to_have_count(0)

    page.clock.fast_forward("24:00:00")
    page.reload()
    expect(ended.locator("h2 + .over")).to_contain_text("not before 27 May, after the possible injury on 20 May")
    expect(ended.get_by_role("link", name="Record a doctor's clearance")).to_be_visible()
    expect(ended.locator(".caution")).not_to_be_visible()
    ended.get_by_text("What to do after").click()
    expect(ended.locator(".caution")).to_be_visible()
    expect(page.locator(".day-kind")).to_have_count(0)
    expect(page.get_by_role("link", name="Log a dive")).to_have_attribute("href", "/boat/dive?plan=none")


@pytest.mark.parametrize(
    ("sign", "title", "why"),
    [(LMC, "The day is over", "The day is over after a loss of motor control"),
     ("Ear pain", "No diving", "No diving until a doctor's clearance is recorded")],
)  # fmt: skip
def test_every_page_says_the_same_of_a_day_that_is_over(phone: BoatPhone, sign: str, title: str, why: str) -> None:
    log_sign(phone, sign)
    page = phone.open("/boat/today")
    expect(page.locator("#ended-head")).to_have_text(title)
    today = phone.open("/boat/season").locator("#day-today")
    expect(today.locator(".word").first).to_have_text(title)
    expect(today).to_contain_text(why)
    expect(today).not_to_contain_text("drill")
    expect(today).not_to_contain_text("clean dive")  # the reason of this morning
    said = phone.open("/boat/day").locator("#word-does")
    expect(said).to_contain_text(title)
    expect(said).to_contain_text(why)
    expect(said).not_to_contain_text("Deep day")
    phone.sent()
    row = phone.open("/seasons/1/plan").locator("tr#today")
    expect(row).to_contain_text("The day is over")
    expect(row).not_to_contain_text("drill")


def test_a_deep_dive_in_the_days_without_one_is_told_so_and_not_praised(phone: BoatPhone) -> None:
    log_sign(phone, LMC)
    phone.page.clock.fast_forward("24:00:00")
    page = phone.open("/boat/dive?plan=none")
    page.get_by_role("radio", name="FIM").check()
    page.get_by_role("radio", name="deep dive").check()
    page.get_by_label("Target depth").fill("30")
    page.get_by_label("Depth reached").fill("30")
    page.get_by_role("button", name="Save").click()
    phone.saved()
    for place in ("#dive", ".dives"):
        said = phone.page.locator(place)
        expect(said.locator(".flag").first).to_contain_text(
            "No deep dive was allowed on this day: none before 24 May after the loss of motor control on 20 May"
        )
        expect(said).not_to_contain_text("nothing to note")
        phone.open("/boat/today")


def test_the_season_folds_what_to_do_on_later_days_as_today_does(phone: BoatPhone) -> None:
    log_sign(phone, "Ear pain")
    care = phone.open("/boat/season").locator("section[aria-labelledby=clearance-title] .caution")
    expect(care).to_be_visible()
    phone.page.clock.fast_forward("24:00:00")
    page = phone.open("/boat/season")
    expect(page.locator("#clearance-title")).to_be_visible()
    expect(care).not_to_be_visible()


def test_a_hard_dive_names_its_cause_on_saved_and_today(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name="Ears slow").check()
    page.get_by_role("radio", name="9", exact=True).check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    for place in ("#dive", ".dives"):
        hard = phone.page.locator(f"{place} .verdict").first
        expect(hard).to_contain_text("Hard (ears slow; effort 9): target reached")
        phone.open("/boat/today")
    expect(phone.open("/boat/season").locator("#day-today")).to_contain_text("Why this target: ")


def test_the_name_of_a_day_and_its_reason_say_nothing_twice(phone: BoatPhone) -> None:
    log_sign(phone, LMC)
    page = phone.page
    for hours, says in (("24:00:00", "Easy day: no deep dive before 24 May"), ("48:00:00", "Break between two blocks")):
        page.clock.fast_forward(hours)
        phone.open("/boat/today")
        expect(page.locator(".day-kind")).to_contain_text(says)
        expect(page.locator(".day-kind")).not_to_contain_text("asy day: easy day")


def test_an_injury_is_shown_as_possible_and_names_its_signs_and_no_others(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    for sign in ("Ear pain", "Hearing changed", "Ears slow"):
        page.get_by_role("checkbox", name=sign).check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    says = "Possible injury (ear pain, strong or lasting; hearing changed): the day is over"
    assert phone.dives_today()[-1]["fields"]["signs"] == ["ears_slow", "ear_pain", "hearing_change"]
    expect(page.locator(".verdict")).to_contain_text(says)
    expect(phone.open("/boat/today").locator(".dives .verdict")).to_contain_text(says)


def test_once_the_day_is_over_the_next_deep_dive_is_one_plain_line_below_the_care(phone: BoatPhone) -> None:
    log_sign(phone, LMC)
    for place in ("#dive", "#today"):
        said = phone.page.locator(place)
        expect(said.locator("#next-plain")).to_have_text(re.compile(r"^Next planned deep dive: CNF 24 m on 28 May\.$"))
        expect(said.locator(".big")).to_have_count(0)
        expect(
            said.locator(".caution:has-text('Keep a buddy beside you') ~ #next-plain, .ended ~ #next-plain")
        ).to_be_visible()
        phone.open("/boat/today")


@pytest.mark.parametrize(
    ("sign", "over", "care"),
    [
        (LMC, "The day is over after a loss of motor control", "Keep a buddy beside you"),
        ("Numb, weak, dizzy", "after the possible injury on", "Oxygen and an emergency call first"),
    ],
)
def test_a_day_outside_the_season_ends_too_and_says_what_to_do(
    phone: BoatPhone, sign: str, over: str, care: str
) -> None:
    phone.page.clock.fast_forward(OUTSIDE)
    log_sign(phone, sign)
    said = phone.page.locator("#dive")
    expect(said.get_by_text("This day is outside the season")).to_be_visible()
    expect(said.locator(".over", has_text=over).first).to_be_visible()
    expect(said.locator(".caution")).to_contain_text(care)

    page = phone.open("/boat/today")
    expect(page.locator(".ended .over")).to_contain_text(over)
    expect(page.locator(".ended .caution")).to_contain_text(care)
    expect(page.get_by_role("heading", name="Surface interval")).to_have_count(0)
    expect(phone.open("/boat/card").get_by_role("heading", name="Do not dive today")).to_be_visible()
