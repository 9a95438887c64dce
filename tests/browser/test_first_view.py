"""Today opens with what it drew last, before its own code is there: and never with anything that is not true any more.

The code is taken out of what the worker keeps here, so that a page shows the worker's part alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from support.boat import BoatPhone, Server
from support.faulty import until

pytestmark = pytest.mark.keeps_app

KEPT = """async () => {
  const { read } = await import("/static/js/store/db.js");
  const { view, writes, sync } = await read(["kept"], ({ kept }) => ({
    view: kept.get("first_view"), writes: kept.get("writes"), sync: kept.get("sync") }));
  return view?.writes === writes && (navigator.onLine || sync?.kind === "offline") ? view : null;
}"""
CHANGE = """async (change) => {
  const { writeAside, getKept } = await import("/static/js/store/db.js");
  const view = { ...(await getKept("first_view")), ...change };
  await writeAside(["kept"], ({ kept }) => void kept.put(view, "first_view"));
}"""
KEEP = """async (view) => (await import("/static/js/parts/first_view.js")).keepView(view)"""
WRITE = "async () => (await import('/static/js/store/db.js')).setKept('form', null)"
COUNTS = """async ([day, version]) => {
  const { firstView } = await import("/static/js/store/first_view.js");
  return firstView(day, version);
}"""
SAID = """async () => (await (await import("/static/js/store/db.js")).getKept("sync"))?.kind"""
NO_CODE = """async () => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const path of ["/static/js/pages/today.js", "/pwa/labels.js"]) await cache.delete(path);
  }
}"""
SHIFTED = """() => new Promise((resolve) => {
  let sum = 0;
  const watch = new PerformanceObserver((list) => list.getEntries().forEach(({ value }) => { sum += value; }));
  watch.observe({ type: "layout-shift", buffered: true });
  requestAnimationFrame(() => setTimeout(() => resolve(sum), 100));
})"""


def kept(phone: BoatPhone) -> dict[str, Any]:
    """What Today has kept of what it shows now: waits until it has."""
    for _ in range(400):
        found: dict[str, Any] | None = phone.page.evaluate(KEPT)
        if found:
            return found
        phone.page.wait_for_timeout(25)
    raise AssertionError("Today keeps nothing of what it shows")


def workers_day(phone: BoatPhone) -> str:
    """The day by the worker's clock: only the page's one stands still in these tests."""
    day: str = phone.context.service_workers[0].evaluate("new Date().toISOString().slice(0, 10)")
    return day


def change(phone: BoatPhone, **fields: Any) -> None:
    phone.page.evaluate(CHANGE, fields)


def draw(phone: BoatPhone) -> str:
    """Draw Today without signal, and keep that as today's by the worker's clock; return what it showed.

    A page without code is open then: Today may draw itself once more, and that would be of the page's day.
    """
    phone.context.set_offline(True)
    phone.open("/boat/today")
    kept(phone)
    shown = phone.page.locator("#today").inner_text()
    phone.open("/boat/offline")
    change(phone, day=workers_day(phone))
    return shown


def reopened(phone: BoatPhone) -> Page:
    """Today with its last drawing. A machine that is busy may take longer than the worker waits: then once more."""
    phone.page.evaluate(NO_CODE)
    for _ in range(40):
        if phone.open("/boat/today").locator("#today").inner_text():
            return phone.page
    raise AssertionError("the worker does not show what Today drew last")


def assert_empty(phone: BoatPhone) -> None:
    """Nothing that counts is kept, and nothing is shown."""
    assert phone.page.evaluate(COUNTS, [workers_day(phone), version(phone)]) is None
    assert_plain(phone)


def assert_plain(phone: BoatPhone) -> None:
    phone.page.evaluate(NO_CODE)
    page = phone.open("/boat/today")
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    expect(page.locator("#today")).to_be_empty()


def version(phone: BoatPhone) -> str:
    found: str = phone.page.evaluate("""async () => {
      const shell = await (await caches.match("/boat/today")).text();
      return /data-version="(\\w+)"/.exec(shell)[1];
    }""")
    return found


@pytest.fixture
def shown(phone: BoatPhone) -> str:
    """What Today showed on the phone without signal that it was drawn and kept on today."""
    phone.open("/boat/today")
    phone.sent()
    return draw(phone)


@pytest.fixture
def drawn(phone: BoatPhone, shown: str) -> BoatPhone:
    """That phone."""
    assert shown
    return phone


def test_the_next_target_and_its_reminder_stand_there_without_the_pages_code(drawn: BoatPhone, shown: str) -> None:
    page = reopened(drawn)
    expect(page.locator(".next-dive .big")).to_have_text("44m")
    first_screen = page.locator("#today").inner_text()
    assert shown.startswith(first_screen)
    assert "lanyard" in first_screen, "the reminder before each deep dive"
    page.get_by_role("link", name="Log this dive").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Log a dive")


def test_it_carries_the_same_security_headers_and_nothing_inline(drawn: BoatPhone) -> None:
    plain = drawn.page.evaluate("async () => Object.fromEntries((await caches.match('/boat/today')).headers)")
    answer = drawn.page.goto(drawn.server.url + "/boat/today")
    assert answer is not None
    assert answer.from_service_worker
    assert 'class="big"' in answer.text()
    assert plain["content-security-policy"] == answer.headers["content-security-policy"]
    assert drawn.page.locator("[style], script:not([src]), style").count() == 0


def test_what_needs_the_code_cannot_be_touched_and_a_time_that_went_on_is_not_shown(drawn: BoatPhone) -> None:
    drawn.log_as_planned()
    draw(drawn)
    page = reopened(drawn)
    expect(page.locator("#pause-head")).to_be_visible()
    expect(page.locator("#since")).to_be_hidden()
    for cell in page.locator(".pauses .left").all():
        expect(cell).to_be_hidden()
    free = page.locator("main :is(button, input, form):not([inert], [inert] *)")
    assert free.count() == 0


def test_once_the_code_is_there_everything_works_and_nothing_has_moved(drawn: BoatPhone) -> None:
    page = drawn.open("/boat/today")
    expect(page.locator("#outbox-says")).not_to_be_empty()
    assert page.locator("#today [inert]").count() == 0
    assert page.evaluate(SHIFTED) <= 0.05
    page.locator("#rename-safety").click()
    expect(page.locator("#name-safety")).to_be_visible()


def test_icons_and_the_manifest_come_behind_the_first_frame(drawn: BoatPhone) -> None:
    """Nobody sees them before it; in the end they stand there as on any page."""
    answer = drawn.page.goto(drawn.server.url + "/boat/today")
    assert answer is not None
    late = re.search(r'<template id="late-links">(.*?)</template>', answer.text(), re.DOTALL)
    assert late
    before = answer.text().replace(late[0], "")
    for rel in ("manifest", "icon", "apple-touch-icon"):
        assert f'rel="{rel}"' in late[1]
        assert f'rel="{rel}"' not in before
        expect(drawn.page.locator(f'head > link[rel="{rel}"]')).to_have_count(1)


def test_it_is_drawn_by_night_where_the_diver_chose_night(drawn: BoatPhone) -> None:
    """By the worker, as the script that knows the choice may come behind the first frame; a later choice counts."""
    choose = "(theme) => localStorage.setItem('theme', theme)"
    drawn.page.evaluate(choose, "night")
    drawn.page.evaluate(WRITE)
    draw(drawn)
    answer = drawn.page.goto(drawn.server.url + "/boat/today")
    assert answer is not None
    assert answer.text().startswith('<!doctype html><html data-theme="night" lang="en"')
    expect(drawn.page.locator("html")).to_have_attribute("data-theme", "night")
    drawn.open("/boat/offline").evaluate(choose, "day")
    change(drawn, day=workers_day(drawn))
    expect(reopened(drawn).locator("html")).to_have_attribute("data-theme", "day")


def choose(page: Page, theme: str) -> None:
    """Choose day or night as a diver does: on a page of the shore."""
    page.get_by_label("Theme").select_option(theme)


def test_whoever_chooses_night_after_the_last_drawing_sees_no_bright_frame(drawn: BoatPhone) -> None:
    """The drawing says day or night, and the script that knows the new choice may come behind the first frame."""
    drawn.context.set_offline(False)
    choose(drawn.open("/rulebook/"), "night")
    until(drawn, lambda: "markup" not in str(drawn.kept("kept")))  # a hand takes longer to the next page
    answer = drawn.page.goto(drawn.server.url + "/boat/today")
    assert answer is not None
    assert 'class="big"' not in answer.text()
    assert '<script src="/static/js/theme.js">' in answer.text(), "nothing is drawn before it has run"
    expect(drawn.page.locator("html")).to_have_attribute("data-theme", "night")


def test_a_choice_counts_at_once_in_another_window_and_on_a_page_to_which_one_goes_back(drawn: BoatPhone) -> None:
    """Else that page would draw Today once more as it was, and keep it so."""
    drawn.context.set_offline(False)
    html = drawn.open("/boat/today").locator("html")
    other = drawn.context.new_page()
    other.goto(drawn.server.url + "/rulebook/")
    choose(other, "night")
    expect(html).to_have_attribute("data-theme", "night")
    drawn.page.evaluate("""() => {
      document.documentElement.dataset.theme = "day";
      dispatchEvent(new PageTransitionEvent("pageshow", { persisted: true }));
    }""")
    expect(html).to_have_attribute("data-theme", "night")


def test_a_choice_makes_no_stores_where_there_are_none(chromium: Browser, server: Server) -> None:
    """Whoever only reads on shore needs none."""
    page = chromium.new_page()
    page.goto(server.url + "/rulebook/")
    choose(page, "night")
    assert (
        page.evaluate("""async () => {
      await new Promise((resolve) => Object.assign(indexedDB.open("lineslate"), {
        onupgradeneeded: ({ target }) => target.transaction.abort(), onsuccess: resolve, onerror: resolve,
      }));
      return indexedDB.databases();
    }""")
        == []
    )
    page.close()


def test_only_what_stands_above_the_large_button_is_drawn_first(drawn: BoatPhone) -> None:
    page = reopened(drawn)
    button = page.locator("#thumb").bounding_box()
    assert button
    tops = page.eval_on_selector_all("#today > *", "(parts) => parts.map((part) => part.getBoundingClientRect().top)")
    assert tops
    assert max(tops) < button["y"]


def saved_elsewhere(phone: BoatPhone) -> None:
    """Another page of this phone logs a dive: Today is not open and draws nothing."""
    page = phone.open("/boat/dive")
    page.get_by_label("Dive time").fill("1:30")
    page.get_by_role("button", name="Save").click()
    phone.saved()


def typed_elsewhere(phone: BoatPhone) -> None:
    """A form that is not saved yet: nothing of it is on Today, but what counts is known to nobody but the stores."""
    phone.open("/boat/dive").get_by_label("Note").fill("half a thought")
    until(phone, lambda: not phone.page.evaluate(KEPT))


def renamed(phone: BoatPhone) -> None:
    """The safety diver is taken back: the target must be hidden."""
    phone.open("/boat/log")
    phone.name_safety(kept_day(phone), "")


def kept_day(phone: BoatPhone) -> str:
    day: str = phone.page.evaluate("import('/static/js/clock.js').then(({ localDay }) => localDay())")
    return day


@pytest.mark.parametrize("happens", [saved_elsewhere, typed_elsewhere, renamed])
def test_whatever_was_written_since_it_is_not_shown(drawn: BoatPhone, happens: Callable[[BoatPhone], None]) -> None:
    happens(drawn)
    assert_empty(drawn)


def test_an_older_drawing_that_is_kept_late_does_not_count(drawn: BoatPhone) -> None:
    """Another page wrote while Today was drawing."""
    before = kept(drawn)
    saved_elsewhere(drawn)
    change(drawn, **before)
    assert_empty(drawn)


@pytest.mark.parametrize("field", ["day", "version"])
def test_neither_yesterdays_nor_another_versions_drawing_is_shown(drawn: BoatPhone, field: str) -> None:
    change(drawn, **{field: "2026-05-19"})
    assert_empty(drawn)


def test_storage_that_does_not_answer_holds_the_page_up_for_a_moment_only(drawn: BoatPhone) -> None:
    """Another page's write never ends: the shell comes as it is kept."""
    other = drawn.context.new_page()
    other.goto(drawn.server.url + "/boat/offline")
    other.evaluate("""() => new Promise((begun) => {
      const request = indexedDB.open("lineslate");
      request.onsuccess = () => {
        const store = request.result.transaction(["kept"], "readwrite").objectStore("kept");
        const again = () => { store.get("user").onsuccess = again; };
        again();
        begun();
      };
    })""")
    assert_plain(drawn)


TAKE_OFF = """async () => {
  const { takeOff } = await import("/static/js/sync/leave.js");
  await takeOff(new Set());
}"""


def give_away(phone: BoatPhone) -> None:
    phone.context.route("**/sync", lambda route: route.abort("connectionrefused"))
    phone.context.set_offline(False)  # the page that does it comes later than the first ones
    phone.open("/boat/today").evaluate(TAKE_OFF)
    expect(phone.page.locator("#today")).to_contain_text("This phone has no season yet")


def test_a_drawing_that_is_kept_after_the_log_was_given_away_is_not_kept(drawn: BoatPhone) -> None:
    """A window in the background draws late: the next diver may have written as often as this one had by then."""
    before = kept(drawn)
    give_away(drawn)
    for written in range(before["writes"] + 1):
        drawn.page.evaluate(KEEP, before)
        assert "markup" not in str(drawn.kept("kept")), f"{written} writes later"
        drawn.page.evaluate(WRITE)


def test_the_worker_makes_no_stores_where_there_are_none(drawn: BoatPhone) -> None:
    """Making and upgrading them is the page's matter, which can say what went wrong."""
    drawn.page.evaluate(NO_CODE)
    drawn.page.evaluate("""() => new Promise((resolve, reject) => {
      const request = indexedDB.deleteDatabase("lineslate");
      Object.assign(request, { onsuccess: resolve, onerror: reject });
    })""")
    assert_plain(drawn)
    assert drawn.page.evaluate("indexedDB.databases()") == []


def test_a_phone_that_gives_its_log_away_keeps_nothing_of_it(drawn: BoatPhone) -> None:
    give_away(drawn)
    assert "markup" not in str(drawn.kept("kept"))
    drawn.context.set_offline(True)
    assert_empty(drawn)


def test_what_a_diver_typed_stays_text(phone: BoatPhone) -> None:
    """A name that would be markup, in the place of the safety diver."""
    name = "<img src=x onerror=alert(1)> $& & Co"
    phone.open("/boat/today")
    phone.sent()
    phone.name_safety("2026-05-20", name)
    expect(phone.page.locator("#named-safety strong")).to_have_text(name)
    draw(phone)
    page = reopened(phone)
    expect(page.locator("#named-safety strong")).to_have_text(name)
    assert page.locator("main img").count() == 0


def test_only_to_sync_changes_nothing_while_no_server_answers(drawn: BoatPhone) -> None:
    """On a boat with a signal that is too weak every try would end the drawing that Today keeps."""
    drawn.context.route("**/sync", lambda route: route.abort("connectionrefused"))
    drawn.context.set_offline(False)
    page = drawn.open("/boat/today")
    until(drawn, lambda: page.evaluate(SAID) == "no-server")
    before = kept(drawn)["writes"]
    with page.expect_event("requestfailed", lambda asked: asked.url.endswith("/sync")):
        page.evaluate("dispatchEvent(new Event('online'))")
    assert kept(drawn)["writes"] == before
