"""The dive card: the numbers of the sheet, without signal, along the ladder, and on one sheet of paper."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader
from support.boat import MORNING, BoatPhone, Server

from webapp.actions import seasons
from webapp.web.app import create_app

A6_MM = (105, 148)
MM_PER_POINT = 25.4 / 72
NewPhone = Callable[..., BoatPhone]
Json = dict[str, Any]
LOOK = """() => ({
  lowest: document.querySelector(".thumb").getBoundingClientRect().top,
  numbers: [...document.querySelectorAll("#card-title .big, #figures dd")].map((one) => {
    const { top, height } = one.getBoundingClientRect();
    return { top, height, font_px: parseFloat(getComputedStyle(one).fontSize) };
  }),
})"""


def sheet_of(phone: BoatPhone) -> Json:
    """The ladder sheet as the phone keeps it."""
    found: Json = next(one for one in phone.kept("kept") if isinstance(one, dict) and one.get("sheet"))["sheet"]
    return found


def rung_of(sheet: Json, discipline: str, depth_m: float) -> Json:
    found: Json = next(one for one in sheet["disciplines"][discipline]["rungs"] if one["depth_m"] == depth_m)
    return found


def clock(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02}"


def figures(page: Page) -> dict[str, str]:
    """The large figures of the page by their labels."""
    rows = page.locator("#figures > div")
    expect(rows).to_have_count(6)
    return {row.locator("dt").inner_text(): " ".join(row.locator("dd").inner_text().split()) for row in rows.all()}


def rest(seconds: float) -> str:
    return f"{math.ceil(seconds / 60)} min"


def with_marks(server: Server, alarms_m: list[float]) -> None:
    """Give the demo's diver a mouthfill and alarms, on shore."""
    app = create_app({"DATA_FILE": str(server.data), "SECRET_KEY": "for tests only", "NOW": lambda: MORNING})
    with app.app_context():
        row = seasons.list_seasons(1)[0]
        raw = {**row.raw, "diver": {"mouthfill": True, "alarms_m": alarms_m}}
        seasons.save_season(1, row.id, row.name, raw, MORNING)


def printed(page: Page) -> tuple[list[tuple[float, float]], str]:
    """The sizes of the printed pages in mm, and all their words."""
    pages = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True, print_background=True))).pages
    sizes = [(float(one.mediabox.width) * MM_PER_POINT, float(one.mediabox.height) * MM_PER_POINT) for one in pages]
    return sizes, re.sub(r"\s+", " ", " ".join(one.extract_text() for one in pages))


def test_the_numbers_of_the_card_are_those_of_the_sheet(phone: BoatPhone) -> None:
    sheet = sheet_of(phone)
    card = rung_of(sheet, "FIM", 44)["card"]
    page = phone.open("/boat/card")
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 44 m")
    expect(page.locator("#card-where")).to_contain_text("next deep dive, today")
    bar = sheet["interval"]["bars"][44]
    longest = max(2 * card["total_s"], card["total_s"] * bar, 44 * 60 / 5)
    assert figures(page) == {
        "Line to set": f"{card['line_m']:g} m",
        "Above the bottom": f"{card['clearance_m']:g} m",
        "Safety diver leaves": clock(card["meet"]["leave_s"]),
        "Dive takes": clock(card["total_s"]),
        "Overdue after": clock(card["overdue_s"]),
        "Rest after surfacing: at least": rest(longest),
    }


def test_marks_turn_meeting_and_end_stand_in_order_of_time_as_a_list_and_in_words_of_the_drawing(
    server: Server, phone: BoatPhone
) -> None:
    with_marks(server, [11, 33])
    page = phone.open("/boat/card?discipline=FIM&depth=44")
    expect(page.locator("#in-order")).to_contain_text("33 m")  # sent to the phone after it was set on shore
    card = rung_of(sheet_of(phone), "FIM", 44)["card"]
    words = {"free_fall": "free fall", "mouthfill": "mouthfill charge", "alarm": "alarm"}
    wanted = [(at_s, words[kind], f"{depth_m:g} m") for kind, depth_m, at_s in card["down"]]
    wanted += [
        (card["meet"]["leave_s"], "safety diver leaves", "surface"),
        (card["turn_s"], "turn", "44 m"),
        (card["meet"]["meet_s"], "safety diver meets", f"{card['meet']['depth_m']:g} m"),
        (card["total_s"], "back at the surface", "surface"),
        (card["overdue_s"], "overdue", "surface"),
    ]
    assert {what for _, what, _ in wanted} >= set(words.values())
    listed = page.locator("#in-order tbody tr").all()
    rows = [[cell.inner_text() for cell in row.locator("td, th").all()] for row in listed]
    assert sorted(rows) == sorted([clock(at_s), what, depth] for at_s, what, depth in wanted)
    assert [row[0] for row in rows] == [clock(at_s) for at_s in sorted(at_s for at_s, _, _ in wanted)]
    spoken = page.get_by_role("img").get_attribute("aria-label") or ""
    for at_s, what, depth in wanted:
        assert f"{what} after {clock(at_s)}" in spoken or f"{what} at {depth} after {clock(at_s)}" in spoken


def test_the_rest_after_surfacing_is_told_in_whole_minutes_by_each_rule_and_nothing_says_go(phone: BoatPhone) -> None:
    card = rung_of(sheet_of(phone), "FIM", 44)["card"]
    page = phone.open("/boat/card")
    pauses = page.get_by_role("region", name="Rest after surfacing")
    for rule, least in (("2 x dive time", rest(2 * card["total_s"])), ("one minute for each 5 m", "9 min")):
        expect(pauses.get_by_role("row").filter(has_text=rule)).to_contain_text(f"at least {least}")
    expect(pauses.get_by_role("row").filter(has_text="dive time x absolute pressure")).to_be_visible()
    expect(pauses.locator("tbody")).not_to_contain_text(":")  # no rest that looks like a time of day
    assert "Rest after surfacing: at least 9 min." in (page.get_by_role("img").get_attribute("aria-label") or "")
    expect(pauses.get_by_text("None of them makes a dive safe; longer is better.")).to_be_visible()
    expect(page.get_by_text("two people check depth, time and bottom at the line itself")).to_be_visible()
    expect(page.get_by_role("main")).not_to_contain_text(re.compile(r"\b(go|ready|safe to)\b", re.IGNORECASE))


def test_the_essentials_are_seen_without_scrolling_and_large(phone: BoatPhone) -> None:
    page = phone.open("/boat/card")
    expect(page.locator("#figures dd")).to_have_count(6)
    seen = page.evaluate(LOOK)  # all at once: the card is redrawn when the server's answer comes
    assert len(seen["numbers"]) == 7
    for number in seen["numbers"]:
        assert 0 <= number["top"] <= seen["lowest"] - number["height"]
        assert number["font_px"] >= 36


@pytest.mark.keeps_app
def test_the_card_works_without_signal_from_the_list_of_the_day_along_the_ladder(
    server: Server, phone: BoatPhone
) -> None:
    sheet = sheet_of(phone)
    server.stop()
    page = phone.open("/boat/today")
    page.get_by_role("link", name="Card of CNF drill, 18 m").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("CNF 18 m")
    page.get_by_role("link", name="FIM").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 44 m")
    for depth_m in (42, 40):
        page.get_by_role("button", name=f"shallower {depth_m} m").click()
        expect(page.get_by_role("heading", level=1)).to_have_text(f"FIM {depth_m} m")
        assert page.evaluate("document.activeElement.id") == "shallower"
        assert figures(page)["Dive takes"] == clock(rung_of(sheet, "FIM", depth_m)["card"]["total_s"])
    expect(page.locator("#card-news")).to_have_text("Card of FIM 40 m")
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 40 m")
    page.go_back()  # steps are no pages: back leads to the page before
    expect(page.get_by_role("heading", level=1)).to_have_text("CNF 18 m")


def test_today_and_the_season_lead_to_the_cards(phone: BoatPhone) -> None:
    page = phone.page
    page.get_by_role("link", name="Card of FIM deep dive, 44 m").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 44 m")
    page = phone.open("/boat/season")
    page.get_by_role("link", name="Dive cards of CNF").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile(r"^CNF \d+ m$"))
    page = phone.open("/boat/season")
    page.get_by_role("link", name="FIM deep dive, 44 m").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 44 m")


@pytest.mark.parametrize(
    ("asked", "title", "says"),
    [
        ("depth=43,5", "FIM 42 m", "The ladder has no rung at 43.5 m: this is the card of the next shallower rung, "
         "42 m. For 43.5 m set a line of 43.5 m and expect a little more time."),
        ("discipline=CNF&depth=4.5", "CNF 4.5 m", "The ladder begins at 5 m: there is no card for 4.5 m. "
         "Its line is 4.5 m."),
        ("discipline=FIM&depth=90", "FIM 54 m", "The ladder ends at 54 m: there is no card for 90 m."),
        ("discipline=VWT&depth=30", "FIM 44 m", "VWT has no ladder in this season."),
        ("discipline=<b>&depth=deep", "FIM 44 m", "<b> has no ladder in this season."),
    ],
)  # fmt: skip
def test_what_the_ladder_has_not_is_said_in_words(phone: BoatPhone, asked: str, title: str, says: str) -> None:
    page = phone.open(f"/boat/card?{asked}")
    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    expect(page.locator(".flag").filter(has_text=says)).to_be_visible()


def test_no_card_is_deeper_than_the_drill_that_it_is_for(phone: BoatPhone) -> None:
    page = phone.open("/boat/card?discipline=FIM&depth=5")
    expect(page.get_by_role("button", name="shallower none")).to_be_disabled()
    for depth_m in (5, 6, 7.5, 18.5, 19, 43):
        page = phone.open(f"/boat/card?discipline=FIM&depth={depth_m}")
        shown = page.get_by_role("heading", level=1)
        expect(shown).to_have_text(re.compile(r"^FIM [\d.]+ m$"))
        assert float(shown.inner_text().split()[1]) <= depth_m


def test_the_ladder_ends_at_both_ends(phone: BoatPhone) -> None:
    page = phone.open("/boat/card?discipline=FIM&depth=54")
    deeper = page.get_by_role("button", name="deeper none")
    expect(deeper).to_be_disabled()
    deeper.dispatch_event("click")
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 54 m")
    expect(page.get_by_text("Only 1.0 m from the plate to the bottom; it should be at least 3 m.")).to_be_visible()
    page = phone.open("/boat/card?discipline=FIM&depth=0")
    expect(page.get_by_role("button", name="shallower none")).to_be_disabled()


@pytest.mark.parametrize(
    ("sign", "why"),
    [
        ("Cough after the dive", "clearance is recorded, and not before 3 Jun, after the possible injury on 20 May"),
        ("Loss of motor control (LMC)", "The day is over after a loss of motor control."),
    ],
)  # fmt: skip
def test_on_a_day_without_diving_the_card_is_stamped_on_screen_and_paper_and_leads_no_deeper(
    phone: BoatPhone, sign: str, why: str
) -> None:
    page = phone.open("/boat/card?discipline=FIM&depth=44")
    expect(page.get_by_role("button", name="deeper")).to_be_visible()
    expect(page.get_by_text("Do not dive today")).to_have_count(0)

    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name=sign).check()
    page.get_by_role("button", name="Save").click()
    phone.saved()
    page = phone.open("/boat/card?discipline=FIM&depth=44")
    expect(page.get_by_role("region", name="Do not dive today")).to_contain_text(why)
    expect(page.locator("#deeper, #print")).to_have_count(0)
    page.get_by_role("button", name="shallower 42 m").click()
    expect(page.get_by_role("region", name="Do not dive today")).to_be_visible()
    sizes, words = printed(page)
    assert sizes == [pytest.approx(A6_MM, abs=0.5)]
    assert words.replace(" ", "").count("Donotdivetoday") == 2  # with its reason, and across the figures
    assert why in words
    assert re.search(r"\bgo\b", words, re.IGNORECASE) is None


def test_a_card_deeper_than_the_target_now_says_that_it_is_not_planned(phone: BoatPhone) -> None:
    page = phone.open("/boat/card?discipline=FIM&depth=50")
    expect(page.locator(".flag")).to_have_text("Not planned: 6 m deeper than the current target.")
    assert "Not planned: 6 m deeper than the current target." in printed(page)[1]
    for _ in range(3):
        page.get_by_role("button", name="shallower").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("FIM 44 m")
    expect(page.locator(".flag")).to_have_count(0)
    weights = page.evaluate(
        "['shallower', 'deeper'].map((id) => getComputedStyle(document.getElementById(id)).fontWeight)"
    )
    assert int(weights[0]) > int(weights[1])


def test_a_phone_without_a_season_says_so(new_phone: NewPhone) -> None:
    page = new_phone().open("/boat/card")
    expect(page.get_by_text("This phone has no season yet, so there is no dive to prepare.")).to_be_visible()
    expect(page.get_by_role("heading", level=1)).to_have_text("Dive card")


def test_print_asks_the_browser_to_print(phone: BoatPhone) -> None:
    page = phone.open("/boat/card")
    page.evaluate("window.print = () => { window.asked = true; }")
    page.get_by_role("button", name="Print").click()
    assert page.evaluate("window.asked")


def test_on_paper_a_card_is_one_a6_sheet_with_all_that_the_boat_needs(phone: BoatPhone) -> None:
    card = rung_of(sheet_of(phone), "FIM", 44)["card"]
    page = phone.open("/boat/card")
    shown = figures(page)
    sizes, words = printed(page)
    assert sizes == [pytest.approx(A6_MM, abs=0.5)]
    assert "FIM 44 m" in words
    for text in [*shown, *shown.values(), clock(card["turn_s"]), clock(card["meet"]["meet_s"]), "free fall"]:
        assert text in words
    assert "two people check depth, time and bottom at the line itself" in words
    assert "Rest after surfacing: at least 9 min, by the longest rule" in words
    assert "Skarn Wall, Spring at Skarn Wall, as of 2026-05-20" in words
    for gone in ("Print", "Season", "shallower", "Sending", "Last sent"):
        assert gone not in words


def test_the_fullest_card_is_one_sheet_too(server: Server, phone: BoatPhone) -> None:
    with_marks(server, [8, 12, 16, 20, 26, 32, 40, 50])
    page = phone.open("/boat/card?discipline=FIM&depth=54")
    expect(page.locator("#in-order tbody tr")).to_have_count(15)
    sizes, words = printed(page)
    assert sizes == [pytest.approx(A6_MM, abs=0.5)]
    assert words.count("alarm") == 8
    assert "Only 1.0 m from the plate to the bottom" in words
    assert "as of 2026-05-20" in words


def test_paper_is_black_on_white_at_night_too(signed_in_phone: NewPhone) -> None:
    phone = signed_in_phone(color_scheme="dark")
    page = phone.open("/boat/card")
    figures(page)
    page.emulate_media(media="print", color_scheme="dark")
    colours = page.evaluate("""() => ["body", "#figures dd", ".caution", ".print-only text"].map((name) => {
      const style = getComputedStyle(document.querySelector(name));
      return name.endsWith("text") ? style.fill : style.color;
    })""")
    assert set(colours) == {"rgb(0, 0, 0)"}
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
