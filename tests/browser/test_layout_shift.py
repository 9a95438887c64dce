"""Nothing moves away from below a finger while a page comes up, by the browser's own measure, on a slow small phone.

And nothing of a page is inline: each is opened here anyway.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Response
from support.boat import BoatPhone

MOST = 0.05
PHONE = {"viewport": {"width": 360, "height": 800}}
SLOW_DOWN = 4
PAGES = (
    "today", "ready", "check", "conditions", "care", "dive", "card", "log", "season", "clock", "focus", "site",
    "emergency", "technique", "crew", "next", "coach", "proposals", "outlook", "phone", "offline",
)  # fmt: skip

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


class SlowPhone:
    """A phone whose processor is slow while a page comes up: to wait slowly would only cost this machine time."""

    def __init__(self, phone: BoatPhone) -> None:
        self.page, self.url = phone.page, phone.server.url
        self.session = phone.context.new_cdp_session(phone.page)

    @contextmanager
    def slow(self) -> Iterator[None]:
        self.session.send("Emulation.setCPUThrottlingRate", {"rate": SLOW_DOWN})
        yield
        self.page.wait_for_function(UP)
        self.session.send("Emulation.setCPUThrottlingRate", {"rate": 1})

    def open(self, name: str) -> Response:
        """Open a page on which nothing moves."""
        with self.slow():
            response = self.page.goto(f"{self.url}/boat/{name}")
        assert response is not None
        self.assert_still(name)
        return response

    def assert_still(self, name: str) -> None:
        parts = [(value, names) for value, names in self.page.evaluate(MOVED)]
        assert sum(value for value, _ in parts) <= MOST, (name, parts)


# Two walks for what a page shows and where it comes from. What moves is what differs between the page as it is first
# painted and as it is in the end: that depends on what the phone holds, and hardly on who hands it the files.


def test_nothing_moves_on_the_very_first_visit(new_phone: Callable[..., BoatPhone]) -> None:
    """Not signed in; everything comes from the server."""
    phone = SlowPhone(new_phone(**PHONE, service_workers="block"))
    for name in PAGES:
        phone.open(name)


def test_nothing_moves_and_no_page_needs_inline_code_or_style_on_a_phone_with_a_season(
    signed_in_phone: Callable[..., BoatPhone],
) -> None:
    """Everything comes from what the worker keeps, but for the pages that it leaves out on the first visit.

    The policy forbids what is inline; a violation would appear on the console.
    """
    phone, said = SlowPhone(signed_in_phone(**PHONE)), list[str]()
    phone.page.on("console", lambda message: said.append(message.text))
    phone.page.on("pageerror", lambda error: said.append(str(error)))
    for name in (*PAGES, "day", "hand"):
        response = phone.open(name)
        assert response.from_service_worker
        assert "default-src 'none'" in response.headers["content-security-policy"]
        assert phone.page.locator("[style], script:not([src]), style").count() == 0
    assert said == []


def test_nothing_moves_when_the_season_comes_to_a_phone_for_the_first_time(
    new_phone: Callable[..., BoatPhone],
) -> None:
    phone = new_phone(**PHONE)
    slowed = SlowPhone(phone)
    with slowed.slow():
        phone.sign_in()
    slowed.assert_still("after sign-in")
