"""The emergency page: numbers to dial and steps in their order, without signal and before anything else is loaded."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader
from support.boat import BoatPhone, Server

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


@pytest.mark.keeps_app
def test_without_signal_the_numbers_can_be_dialled_and_the_position_stands_in_both_ways(planned: BoatPhone) -> None:
    planned.context.set_offline(True)
    page = planned.open("/boat/emergency")
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


@pytest.mark.keeps_app
def test_it_is_one_touch_away_on_every_page_of_the_boat(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    for name in assets.BOAT_PAGES:
        page = phone.open(f"/boat/{name}")
        page.get_by_role("link", name="Emergency", exact=True).click()
        expect(page).to_have_url(re.compile("/boat/emergency$"))
        expect(page.locator("#site-name")).to_have_text("Skarn Wall")


def test_five_ways_fit_into_the_bar_of_a_small_phone_each_large_enough(phone: BoatPhone) -> None:
    page = phone.open("/boat/emergency")
    for width in (320, 360, 390):
        page.set_viewport_size({"width": width, "height": 640})
        boxes = [link.bounding_box() for link in page.locator(".bar a").all()]
        assert len({round(box["y"] + box["height"] / 2) for box in boxes if box}) == 1, width
        assert all(box and box["width"] >= 48 and box["height"] >= 48 for box in boxes), width
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        assert page.locator(".bar a").evaluate_all("(all) => all.every((one) => one.scrollWidth <= one.clientWidth)")
    edge = page.locator(".bar-emergency").evaluate("(one) => getComputedStyle(one).borderTopWidth")
    assert edge == "3px"


def test_it_reads_neither_log_nor_plan_before_the_numbers_stand_there() -> None:
    """Few modules, none of the ladder, and named in the shell so that they come at once."""
    names = [name.removeprefix("/static/js/") for name in assets.modules("emergency")]
    assert len(names) <= 14
    assert not [name for name in names if name.startswith(("reader/", "sync/", "drawings/"))]
    assert "store/slate.js" not in names


@pytest.mark.keeps_app
def test_a_site_without_a_plan_says_what_is_missing_where_to_fill_it_in_and_what_to_do_all_the_same(
    phone: BoatPhone,
) -> None:
    phone.context.set_offline(True)
    page = phone.open("/boat/emergency")
    says = page.locator("#missing-says")
    expect(says).to_contain_text("Not filled in: the local emergency number, the chamber's number")
    expect(page.locator("#plan #call-help")).to_contain_text("Call the local emergency number.")
    expect(page.locator("#plan #call-help")).to_contain_text("VHF radio, channel 16")
    assert dials(page) == []
    expect(page.locator("#blackout ol > li").first).to_be_attached()
    page.get_by_role("link", name="Fill in the plan").click()
    expect(page.get_by_label("Name of the site")).to_have_value("Skarn Wall")


def test_a_phone_without_any_site_says_so_and_has_the_steps(new_phone: NewPhone) -> None:
    page = new_phone().open("/boat/emergency")
    expect(page.locator("#missing-says")).to_contain_text("This phone knows no site yet")
    expect(page.locator(".event")).to_have_count(6)
    expect(page.get_by_role("link", name="Fill in the plan")).to_be_visible()


def test_another_site_of_the_phone_can_be_chosen_and_the_seasons_own_comes_first_again(planned: BoatPhone) -> None:
    fill_in(planned, None, name="Odd Lake", emergency_phone="113")
    page = planned.open("/boat/emergency")
    page.get_by_label("Other site").select_option(label="Odd Lake")
    expect(page.locator("#site-name")).to_have_text("Odd Lake")
    assert dials(page) == ["tel:113"]
    expect(page.locator("#missing-says")).to_contain_text("the hospital's number")
    page.reload()
    expect(page.locator("#site-name")).to_have_text("Skarn Wall")


HERE = {"latitude": 58.5, "longitude": -10.25, "accuracy": 6.2}


@pytest.mark.keeps_app
def test_the_phones_own_position_is_asked_for_after_a_touch_only_and_stands_beside_that_of_the_site(
    planned: BoatPhone,
) -> None:
    page = planned.page
    page.add_init_script("""
      window.asked = 0;
      const ask = Geolocation.prototype.getCurrentPosition;
      Geolocation.prototype.getCurrentPosition = function (...all) { window.asked += 1; return ask.apply(this, all); };
      const query = Permissions.prototype.query;
      Permissions.prototype.query = function (what) {
        return window.tells === false ? Promise.reject(new TypeError("unknown")) : query.call(this, what);
      };
      window.tells = false;
    """)
    planned.context.grant_permissions(["geolocation"])
    planned.context.set_geolocation(HERE)  # type: ignore[arg-type]
    planned.context.set_offline(True)
    planned.open("/boat/emergency")
    expect(page.locator("#site-name")).to_be_visible()
    expect(page.locator("#boat-foot")).to_be_visible()
    assert page.evaluate("window.asked") == 0

    page.get_by_role("button", name="Show this phone's position").click()
    own = page.locator(".own-place")
    expect(own.locator(".degrees span")).to_have_text(["58° 30.000′ N", "10° 15.000′ W", "58.50000° N", "10.25000° W"])
    expect(own).to_contain_text("to about 7 m")
    site, phone = page.locator(".places > .place").bounding_box(), own.bounding_box()
    assert site
    assert phone
    assert phone["x"] > site["x"]
    assert abs(phone["y"] - site["y"]) < 4


def test_a_phone_that_already_allows_its_position_shows_it_at_once(planned: BoatPhone) -> None:
    planned.context.grant_permissions(["geolocation"])
    planned.context.set_geolocation(HERE)  # type: ignore[arg-type]
    page = planned.open("/boat/emergency")
    expect(page.locator(".own-place .degrees").first).to_contain_text("58° 30.000′ N")


def test_a_phone_that_refuses_its_position_says_so_and_the_rest_stands(planned: BoatPhone) -> None:
    planned.context.clear_permissions()
    page = planned.open("/boat/emergency")
    page.get_by_role("button", name="Show this phone's position").click()
    expect(page.locator(".own-place")).to_contain_text("This phone does not give its position")
    assert dials(page)[0] == "tel:112"
    expect(page.get_by_role("button", name="Show this phone's position")).to_be_visible()


def test_only_the_two_pages_that_ask_for_it_may_know_where_the_phone_is(server: Server, new_phone: NewPhone) -> None:
    ask = new_phone().context.request.get
    allowed = {
        name: "geolocation=(self)" in ask(f"{server.url}/boat/{name}").headers["permissions-policy"]
        for name in assets.BOAT_PAGES
    }
    assert {name for name, may in allowed.items() if may} == {"emergency", "site"}


def test_on_paper_it_is_one_page_with_numbers_position_and_every_step(planned: BoatPhone) -> None:
    page = planned.open("/boat/emergency")
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


def test_the_words_of_the_page_are_part_of_the_version_that_a_phone_keeps(monkeypatch: pytest.MonkeyPatch) -> None:
    before = assets.version()
    assets.version.cache_clear()
    monkeypatch.setattr(assets, "emergency_texts", lambda: {"events": {}, "says": {}})
    assert assets.version() != before
    monkeypatch.undo()
    assets.version.cache_clear()
    assert assets.version() == before
