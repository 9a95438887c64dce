"""Nothing moves away from below a finger while a page comes up, by the browser's own measure, on a slow small phone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page
from support.boat import BoatPhone

MOST = 0.05
PHONE = {"viewport": {"width": 360, "height": 800}}
SLOW_DOWN = 4
PAGES = (
    "today", "ready", "check", "conditions", "care", "dive", "card", "log", "season", "clock", "focus", "site",
    "emergency", "technique", "crew", "next", "coach", "proposals", "outlook", "phone", "offline",
)  # fmt: skip
HALVES = (PAGES[::2], PAGES[1::2])

# what moved, of all that the browser has seen since the page began, but for what a touch asked for
MOVED = """() => new Promise((resolve) => {
  const seen = [];
  const watch = new PerformanceObserver((list) => seen.push(...list.getEntries()));
  watch.observe({ type: "layout-shift", buffered: true });
  const name = ({ node }) => node?.id || node?.parentElement?.className || node?.nodeName;
  requestAnimationFrame(() => setTimeout(() => {
    seen.push(...watch.takeRecords());
    const moved = seen.filter((one) => !one.hadRecentInput);
    resolve(moved.map((one) => [one.value, one.sources.map(name).join(" ")]));
  }, 100));
})"""
# a page is up when it is drawn, and what it asked the server for has been drawn too
UP = """() => {
  if (location.pathname === "/boat/offline") return document.readyState === "complete";
  const says = document.querySelector("#outbox-says").textContent;
  return document.readyState === "complete" && /sent|send/i.test(says) && document.querySelector("#outbox-more p");
}"""


def moved(page: Page) -> list[tuple[float, str]]:
    page.wait_for_function(UP)
    return [(value, names) for value, names in page.evaluate(MOVED)]


def assert_still(page: Page, path: str) -> None:
    parts = moved(page)
    assert sum(value for value, _ in parts) <= MOST, (path, parts)


def slowed(phone: BoatPhone) -> BoatPhone:
    phone.context.new_cdp_session(phone.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOW_DOWN})
    return phone


@pytest.mark.keeps_app
@pytest.mark.parametrize("pages", HALVES, ids=["one half", "the other"])
@pytest.mark.parametrize("workers", ["block", "allow"])
def test_nothing_moves_on_a_phone_that_is_not_signed_in(
    new_phone: Callable[..., BoatPhone], pages: tuple[str, ...], workers: str
) -> None:
    """As on the very first visit, when everything comes from the server, and from what the worker keeps."""
    phone = new_phone(**PHONE, service_workers=workers)
    if workers == "allow":
        phone.open("/boat/today")
        phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    slowed(phone)
    for page in pages:
        assert_still(phone.open(f"/boat/{page}"), f"{page}, workers: {workers}")


@pytest.mark.parametrize("pages", HALVES, ids=["one half", "the other"])
def test_nothing_moves_on_a_phone_with_a_season(
    signed_in_phone: Callable[..., BoatPhone], pages: tuple[str, ...]
) -> None:
    phone = slowed(signed_in_phone(**PHONE))
    for page in pages:
        assert_still(phone.open(f"/boat/{page}"), page)


def test_nothing_moves_when_the_season_comes_to_a_phone_for_the_first_time(
    new_phone: Callable[..., BoatPhone],
) -> None:
    phone = slowed(new_phone(**PHONE))
    phone.sign_in()
    assert_still(phone.page, "after sign-in")
