"""The look of the boat side: readable in sun and at night, large enough for wet fingers, and light to fetch."""

from __future__ import annotations

import gzip
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from support.axe import violations
from support.boat import PHONE, ROOT, BoatPhone
from support.faulty import until

PAGES = (
    "/boat/today",
    "/boat/day",
    "/boat/ready",
    "/boat/check",
    "/boat/conditions",
    "/boat/care",
    "/boat/dive",
    "/boat/card",
    "/boat/log",
    "/boat/season",
    "/boat/site",
    "/boat/emergency",
    "/boat/clock",
    "/boat/focus",
    "/boat/hand",
    "/boat/technique",
    "/boat/crew",
    "/boat/next",
    "/boat/coach",
    "/boat/proposals",
    "/boat/outlook",
    "/boat/phone",
    "/boat/offline",
)
FIRST_VISIT_BYTES = 170_000
LEAST_PX = 48
# Every target that can be touched, as it lies on the screen; a toggle's target is its label, a link inside a
# sentence is exempt as everywhere.
SMALL_TARGETS = """(least) => [...document.querySelectorAll("a, button, summary, input, select, textarea")]
  .filter((one) => one.checkVisibility() && !one.matches(".skip, p:not(.actions) > a:not(.button)"))
  .map((one) => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < least - 0.5 || box.width < least - 0.5))
  .map(([what, box]) => `${Math.round(box.width)}x${Math.round(box.height)} ${what}`)"""
KEPT = """async () => {
  const opened = await Promise.all((await caches.keys()).map((name) => caches.open(name)));
  const requests = await Promise.all(opened.map((cache) => cache.keys()));
  return requests.flat().map(({ url }) => new URL(url).pathname);
}"""
# the drawings follow a change of width, and are laid out, within two frames
DRAWN = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done))))"
NewPhone = Callable[..., BoatPhone]


def up(page: Page) -> None:
    """Wait until the page is drawn whole, with the line at its foot; that of no signal has none."""
    if not page.url.endswith("/boat/offline"):
        expect(page.locator("#outbox-says")).not_to_be_empty()
    page.evaluate(DRAWN)


def unfold(page: Page) -> None:
    """Open every folded part, so that its content is checked too."""
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")


def fill_pages(phone: BoatPhone) -> None:
    """Fill the pages: a pause, a deleted dive, a stand-down with its first aid."""
    phone.log_as_planned()
    page = phone.open("/boat/log")
    page.locator(".rows summary").nth(2).click()
    page.locator(".rows").get_by_role("button", name="Delete").click()
    expect(page.locator("#deleted")).to_be_visible()
    page = phone.open("/boat/dive")
    page.get_by_role("checkbox", name="Cough after the dive").check()
    page.get_by_role("button", name="Save").click()
    phone.saved()


def assert_no_violations(page: Page) -> None:
    """With text at 7 to 1, in every look."""
    unfold(page)
    assert violations(page) == []


def test_axe_finds_nothing_on_a_day_as_planned(phone: BoatPhone) -> None:
    """On the pages that look different then."""
    for path in PAGES[:3]:
        assert_no_violations(phone.open(path))


@pytest.mark.parametrize("paths", [PAGES[::2], PAGES[1::2]], ids=["one half", "the other"])
def test_on_a_day_that_ended_badly_every_page_fits_its_targets_are_large_enough_and_axe_finds_nothing(
    phone: BoatPhone, paths: tuple[str, ...]
) -> None:
    fill_pages(phone)
    assert_no_violations(phone.page)
    for path in paths:
        page = phone.open(path)
        up(page)
        unfold(page)
        for width in (PHONE["viewport"]["width"], 1280, 195, 320):  # 195 is a phone of 390 at 200 %
            page.set_viewport_size({"width": width, "height": 700})
            page.evaluate(DRAWN)
            wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            assert wide <= 0, f"{path} scrolls sideways by {wide} px at {width}"
            assert page.evaluate(SMALL_TARGETS, LEAST_PX) == [], (path, width)
        assert violations(page) == [], path


def test_no_style_sheet_tells_one_of_many_alike_rows_from_the_others() -> None:
    """Axe measures the look of what is alike once: of a style for each second row it would see half."""
    told = r":nth-|\[(id|for|href|name|value|title|data-record)\b|(:has\(| ~ )[^{}]*\{[^}]*(color|background|font-size)"
    for path in (ROOT / "static" / "css").glob("*.css"):
        assert not re.search(told, path.read_text(encoding="utf-8")), path


def test_axe_finds_nothing_on_a_form_with_faults(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Depth reached").fill("")
    page.get_by_label("Dive time").fill("soon")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="2 things need a look")).to_be_visible()
    assert_no_violations(page)


def test_the_form_can_be_filled_and_saved_by_keyboard_alone(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "dive_s":
            break
    page.keyboard.type("1:28")
    page.keyboard.press("Enter")
    phone.saved()
    assert page.evaluate("document.activeElement.id") == "dive-title"
    assert [row["fields"]["dive_s"] for row in phone.dives_today()] == [88]


def test_what_has_the_focus_is_never_hidden_below_the_bottom_bar(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    for _ in range(30):
        page.keyboard.press("Tab")
        hidden = page.evaluate("""() => {
          const one = document.activeElement;
          if (!one.closest("main")) return null;
          const box = one.getBoundingClientRect(), bar = document.getElementById("thumb").getBoundingClientRect();
          return box.top >= bar.top ? one.id || one.name : null;
        }""")
        assert hidden is None


@pytest.mark.keeps_app
def test_a_first_visit_needs_at_most_170_kb(new_phone: NewPhone) -> None:
    """All that the page and then the worker fetch, compressed as a reverse proxy would do it.

    What the page has already, the worker asks for by its ETag: the server answers 304 without a body.
    """
    phone = new_phone()
    fetched: list[str] = []
    phone.context.on("response", lambda answer: fetched.append(answer.url) if answer.status == 200 else None)
    phone.open("/boat/today")
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    kept = {phone.server.url + path for path in phone.page.evaluate(KEPT)}
    assert {f"{phone.server.url}{path}" for path in ("/boat/season", "/static/js/pages/log.js")} <= kept
    until(phone, lambda: kept <= set(fetched))
    first = {url: phone.context.request.get(url) for url in set(fetched)}
    sizes = {url: len(gzip.compress(answer.body())) for url, answer in first.items()}
    twice = 0
    for url in (one for one in sizes for _ in range(fetched.count(one) - 1)):
        etag = first[url].headers.get("etag", "none")
        again = phone.context.request.get(url, headers={"If-None-Match": etag})
        twice += 0 if again.status == 304 else sizes[url]
    assert sum(sizes.values()) + twice <= FIRST_VISIT_BYTES, sizes
