"""The emergency page: numbers to dial and steps in their order, without signal and before anything else is loaded."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader
from support.boat import ROOT, BoatPhone, Server

from webapp.rulebook_file import read_rulebook
from webapp.web import assets
from webapp.web.words import emergency_texts

NewPhone = Callable[..., BoatPhone]
PLAN: dict[str, Any] = {
    "latitude": 58.20575, "longitude": -10.5, "emergency_phone": "112", "radio_channel": "VHF 16, then 12",
    "hospital": "Brae Hospital", "hospital_phone": "+00 (0)5550 100-20", "chamber": "Odd Bay Chamber",
    "chamber_phone": "0555 0199", "oxygen_where": "green box under the bench", "oxygen_by": "Ilka and Odd",
    "boat_driver": "Odd Brae", "meeting_point": "north quay", "language": "Norsk", "note": "closed at night",
}  # fmt: skip
SAVE = """async ([record, fields]) => {
  const { save } = await import("/static/js/store/outbox.js");
  return save({ kind: "site", record: record ?? undefined, fields, user: 1 });
}"""
# 58.20575 degrees are 58 degrees and 0.20575 x 60 = 12.345 minutes
POSITION = ["58° 12.345′ N", "10° 30.000′ W", "58.20575° N", "10.50000° W"]


def site_of_season(phone: BoatPhone) -> str:
    return next(str(row["record"]) for row in phone.kept("records") if row["kind"] == "site")


def fill_in(phone: BoatPhone, record: str | None, **fields: Any) -> str:
    return str(phone.page.evaluate(SAVE, [record, fields]))


@pytest.fixture
def planned(phone: BoatPhone) -> BoatPhone:
    """A phone whose season's site has its emergency plan."""
    fill_in(phone, site_of_season(phone), **PLAN)
    phone.sent()
    return phone


def dials(page: Page) -> list[str | None]:
    return [link.get_attribute("href") for link in page.locator("#plan a.call").all()]


@pytest.mark.keeps_app
def test_the_steps_of_every_event_stand_in_the_shell_in_order_with_their_source_before_any_script_runs(
    new_phone: NewPhone,
) -> None:
    """First what to do in the first minute; the orders are common practice, and each source is named beside them."""
    page = new_phone(java_script_enabled=False, service_workers="block").open("/boat/emergency")
    events = emergency_texts()["events"]
    assert list(events) == ["missing", "blackout", "lmc", "squeeze", "dci", "ear"]
    for code, event in events.items():
        expect(page.locator(f"#{code} h2")).to_have_text(event["title"])
        expect(page.locator(f"#{code} ol > li")).to_have_text(event["steps"])
        expect(page.locator(f"#{code} .source")).to_have_text(event["source"])
        assert "common practice, no published source" in event["source"].lower()
    expect(page.get_by_text("This phone is no emergency beacon.")).to_be_visible()
    expect(page.get_by_text("Trained people, the local emergency number and local rules come first.")).to_be_visible()
    assert [link.get_attribute("href") for link in page.locator(".jumps a").all()] == [f"#{code}" for code in events]


def test_the_first_steps_do_not_wait_for_a_doctor_and_none_is_done_in_the_water() -> None:
    """Common practice, no source: airway first after a blackout, oxygen and the call first for neurological signs."""
    events = emergency_texts()["events"]
    assert events["blackout"]["steps"][0].startswith("Airway out of the water and open.")
    assert "emergency call now" in events["blackout"]["steps"][1]
    assert "airway out of the water" in events["lmc"]["steps"][0]
    assert (
        "Watch the diver for at least 30 seconds" in events["lmc"]["steps"][2]
    )  # DAN, Alert Diver, spring 2016, p. 53
    assert events["dci"]["steps"][0].startswith("Oxygen and an emergency call first")
    assert "Never go back into the water to treat it." in events["dci"]["steps"]
    assert "Sit up" in events["squeeze"]["steps"][0]


def test_what_the_page_says_does_not_contradict_the_care_of_the_plan() -> None:
    care, events = read_rulebook().texts["care"], emergency_texts()["events"]
    blackout = " ".join(events["blackout"]["steps"])
    assert all(part in blackout for part in care["blackout"][1:3])
    assert care["ear"][0] in events["ear"]["steps"]
    assert "Never go back into the water to treat it." in " ".join(care["neurological"])


# The ways at the foot of each page, the one that leads to the page itself unmarked; and the first style sheet.
BARS = """(names) => Promise.all(names.map(async (name) => {
  const shell = new DOMParser().parseFromString(await (await fetch(`/boat/${name}`)).text(), "text/html");
  const styles = [...shell.querySelectorAll("link[rel=stylesheet]")].map((one) => one.getAttribute("href"));
  for (const one of shell.querySelectorAll(".bar [aria-current]")) one.removeAttribute("aria-current");
  return [name, shell.querySelectorAll(".bar").length, shell.querySelector(".bar")?.outerHTML, styles[0]];
}))"""


@pytest.mark.keeps_app
def test_without_signal_it_is_one_touch_away_on_every_page_and_its_numbers_can_be_dialled(phone: BoatPhone) -> None:
    """A site without a plan says what is missing; with one, the position stands in both ways.

    Every page has the same ways under the same style sheet: a touch on one of them is a touch on each.
    """
    names = [name for name in assets.BOAT_PAGES if name != "offline"]  # which has a link of its own
    bars = phone.page.evaluate(BARS, names)
    assert [(name, count) for name, count, *_ in bars] == [(name, 1) for name in names]
    ((_, style),) = {(bar, style) for _, _, bar, style in bars}
    assert style is not None
    phone.context.set_offline(True)
    page = phone.open("/boat/emergency")
    expect(page.locator("#missing-says")).to_contain_text(
        "Not filled in: the local emergency number, the chamber's number"
    )
    expect(page.locator("#plan #call-help")).to_contain_text("Call the local emergency number.")
    expect(page.locator("#plan #call-help")).to_contain_text("VHF radio, channel 16")
    assert dials(page) == []
    expect(page.locator("#blackout ol > li").first).to_be_attached()
    page.get_by_role("link", name="Fill in the plan").click()
    expect(page.get_by_label("Name of the site")).to_have_value("Skarn Wall")

    fill_in(phone, site_of_season(phone), **PLAN)
    for name in ("offline", "dive"):
        page = phone.open(f"/boat/{name}")
        expect(page.locator("main :is(h1, h2)").first).to_be_visible()
        page.get_by_role("link", name="Emergency", exact=True).click()
        expect(page).to_have_url(re.compile("/boat/emergency$"))
        expect(page.locator("#site-name")).to_have_text("Skarn Wall")

    assert dials(page) == ["tel:112", "tel:05550199", "tel:+00555010020"]
    heights = page.evaluate(
        "[...document.querySelectorAll('#plan a.call')].map((one) => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= 64
    expect(page.locator("#call-emergency_phone")).to_contain_text("112")
    expect(page.locator("#call-chamber_phone")).to_contain_text("Recompression chamber: Odd Bay Chamber")
    expect(page.locator("#call-radio_channel")).to_contain_text("VHF 16, then 12")
    expect(page.locator("#plan .place .degrees span")).to_have_text(POSITION)
    for words in ("green box under the bench", "Ilka and Odd", "Odd Brae", "north quay", "Norsk", PLAN["note"]):
        expect(page.locator(".plan-facts")).to_contain_text(words)
    expect(page.locator("#missing-says")).to_have_count(0)
    assert page.locator("#plan").bounding_box()["y"] < page.locator("#missing").bounding_box()["y"]  # type: ignore[index]


def test_no_script_of_a_page_touches_the_ways_at_its_foot() -> None:
    """Else the touch of the test above would say nothing of the other pages."""
    for path in (ROOT / "static" / "js").rglob("*.js"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"querySelector\w*\([^)]*(nav\b|\.bar\b)|bar-emergency", text), path


def test_it_reads_neither_log_nor_plan_before_the_numbers_stand_there() -> None:
    """Few modules, none of the ladder, and named in the shell so that they come at once."""
    names = [name.removeprefix("/static/js/") for name in assets.modules("emergency")]
    assert len(names) <= 14
    assert not [name for name in names if name.startswith(("reader/", "sync/", "drawings/"))]
    assert "store/slate.js" not in names


def test_a_phone_without_any_site_says_so_and_has_the_steps(new_phone: NewPhone) -> None:
    page = new_phone().open("/boat/emergency")
    expect(page.locator("#missing-says")).to_contain_text("This phone knows no site yet")
    expect(page.locator(".event")).to_have_count(6)
    expect(page.get_by_role("link", name="Fill in the plan")).to_be_visible()


HERE = {"latitude": 58.5, "longitude": -10.25, "accuracy": 6.2}


NO_ANSWER_BEFORE = """
  window.asked = 0;
  const ask = Geolocation.prototype.getCurrentPosition;
  Geolocation.prototype.getCurrentPosition = function (...all) { window.asked += 1; return ask.apply(this, all); };
  Permissions.prototype.query = () => Promise.reject(new TypeError("unknown"));
"""


def test_the_phones_own_position_is_asked_for_after_a_touch_only_or_shown_at_once_where_it_is_allowed(
    planned: BoatPhone,
) -> None:
    """A phone that refuses it says so, and the rest stands."""
    planned.context.clear_permissions()
    page = planned.open("/boat/emergency")
    page.get_by_role("button", name="Show this phone's position").click()
    expect(page.locator(".own-place")).to_contain_text("This phone does not give its position")
    assert dials(page)[0] == "tel:112"
    expect(page.get_by_role("button", name="Show this phone's position")).to_be_visible()

    planned.context.grant_permissions(["geolocation"])
    planned.context.set_geolocation(HERE)  # type: ignore[arg-type]
    page = planned.open("/boat/emergency")
    expect(page.locator(".own-place .degrees").first).to_contain_text("58° 30.000′ N")

    page.add_init_script(NO_ANSWER_BEFORE)  # a phone that does not tell beforehand whether it would allow it
    planned.context.route("**/sync", lambda route: route.abort("internetdisconnected"))
    planned.open("/boat/emergency")
    expect(page.locator("#site-name")).to_be_visible()
    expect(page.locator("#boat-foot")).to_be_visible()
    assert page.evaluate("window.asked") == 0
    planned.context.set_offline(True)
    page.get_by_role("button", name="Show this phone's position").click()
    own = page.locator(".own-place")
    expect(own.locator(".degrees span")).to_have_text(["58° 30.000′ N", "10° 15.000′ W", "58.50000° N", "10.25000° W"])
    expect(own).to_contain_text("to about 7 m")
    site, phone = page.locator(".places > .place").bounding_box(), own.bounding_box()
    assert site
    assert phone
    assert phone["x"] > site["x"]
    assert abs(phone["y"] - site["y"]) < 4


def test_only_the_two_pages_that_ask_for_it_may_know_where_the_phone_is(server: Server, new_phone: NewPhone) -> None:
    ask = new_phone().context.request.get
    allowed = {
        name: "geolocation=(self)" in ask(f"{server.url}/boat/{name}").headers["permissions-policy"]
        for name in assets.BOAT_PAGES
    }
    assert {name for name, may in allowed.items() if may} == {"emergency", "site"}


def test_on_paper_it_is_one_page_five_ways_fit_into_the_bar_and_another_site_can_be_chosen(planned: BoatPhone) -> None:
    """The season's own site comes first again."""
    page = planned.open("/boat/emergency")
    is_one_page_on_paper(page)
    five_ways_fit_into_the_bar(page)

    fill_in(planned, None, name="Odd Lake", emergency_phone="113")
    page = planned.open("/boat/emergency")
    page.get_by_label("Other site").select_option(label="Odd Lake")
    expect(page.locator("#site-name")).to_have_text("Odd Lake")
    assert dials(page) == ["tel:113"]
    expect(page.locator("#missing-says")).to_contain_text("the hospital's number")
    page.reload()
    expect(page.locator("#site-name")).to_have_text("Skarn Wall")


def is_one_page_on_paper(page: Page) -> None:
    """With numbers, position and every step."""
    expect(page.locator("#site-name")).to_be_visible()
    expect(page.locator("#boat-foot")).to_be_visible()
    pages = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    assert len(pages) == 1
    text = re.sub(r"\s+", " ", pages[0].extract_text().replace("\ufb01", "fi").replace("\ufb02", "fl"))
    for words in ("Skarn Wall", "112", "0555 0199", "+00 (0)5550 100-20", "VHF 16, then 12", *POSITION, "north quay"):
        assert words in text, words
    for event in emergency_texts()["events"].values():
        assert event["title"] in text
        assert event["steps"][-1] in text
    assert "Show this phone" not in text
    width, height = (float(side) / 72 * 25.4 for side in pages[0].mediabox[2:])
    assert (round(width), round(height)) == (210, 297)


def five_ways_fit_into_the_bar(page: Page) -> None:
    """Of a small phone, each large enough."""
    for width in (320, 360, 390):
        page.set_viewport_size({"width": width, "height": 640})
        boxes = [link.bounding_box() for link in page.locator(".bar a").all()]
        assert len({round(box["y"] + box["height"] / 2) for box in boxes if box}) == 1, width
        assert all(box and box["width"] >= 48 and box["height"] >= 48 for box in boxes), width
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        assert page.locator(".bar a").evaluate_all("(all) => all.every((one) => one.scrollWidth <= one.clientWidth)")
    edge = page.locator(".bar-emergency").evaluate("(one) => getComputedStyle(one).borderTopWidth")
    assert edge == "3px"


def test_the_words_of_the_page_are_part_of_the_version_that_a_phone_keeps(monkeypatch: pytest.MonkeyPatch) -> None:
    before = assets.version()
    assets.version.cache_clear()
    monkeypatch.setattr(assets, "emergency_texts", lambda: {"events": {}, "says": {}})
    assert assets.version() != before
    monkeypatch.undo()
    assets.version.cache_clear()
    assert assets.version() == before
