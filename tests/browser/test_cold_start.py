"""From the icon to the next target: nothing that can wait comes before it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect
from support.boat import BoatPhone

# what asks the browser or the network for something, and whether a frame with the next target was drawn by then
ASKED = """window.asked = [];
let drawn = false;
new MutationObserver((_, watching) => {
  if (!document.querySelector(".next-dive .big")) return;
  watching.disconnect();
  requestAnimationFrame(() => { drawn = true; });
}).observe(document, { childList: true, subtree: true });
const watch = (owner, name) => {
  const own = owner.prototype[name];
  owner.prototype[name] = function (...given) {
    window.asked.push([name, drawn]);
    return own.apply(this, given);
  };
};
watch(StorageManager, "persisted");
watch(LockManager, "request");
watch(ServiceWorkerContainer, "register");"""


def test_the_next_target_is_drawn_before_anything_is_sent_or_looked_for(phone: BoatPhone) -> None:
    phone.context.add_init_script(ASKED)
    page = phone.open("/boat/today")
    expect(page.locator("#outbox-more")).to_contain_text("The browser may clear this log")
    asked = page.evaluate("window.asked")
    assert {name for name, _ in asked} == {"persisted", "request", "register"}
    assert all(drawn for _, drawn in asked), asked


BEFORE_IT = """const came = [];
const files = new PerformanceObserver((list) => came.push(...list.getEntries()));
files.observe({ type: "resource", buffered: true });
new MutationObserver((_, watching) => {
  if (!document.querySelector(".next-dive .big")) return;
  watching.disconnect();
  window.before = [...came, ...files.takeRecords()].map((one) => new URL(one.name).pathname);
}).observe(document, { childList: true, subtree: true });"""
LISTED = "[...document.querySelectorAll('link[rel=modulepreload]')].map((one) => one.getAttribute('href'))"


def test_the_shell_of_today_names_every_module_of_the_first_drawing_and_no_other(phone: BoatPhone) -> None:
    phone.context.add_init_script(BEFORE_IT)
    page = phone.open("/boat/today")
    expect(page.locator(".next-dive .big")).to_be_visible()
    needed = {path for path in page.evaluate("window.before") if path.endswith(".js")}
    listed = page.evaluate(LISTED)
    assert len(listed) == len(set(listed))
    assert set(listed) == needed - {"/static/js/theme.js", "/pwa/labels.js"}


def test_a_page_that_nobody_sees_sends_all_the_same(phone: BoatPhone) -> None:
    phone.context.add_init_script("""
      Object.defineProperty(Document.prototype, "visibilityState", { get: () => "hidden" });
      window.requestAnimationFrame = () => 0; // no frame for it
    """)
    with phone.page.expect_request("**/sync"):
        phone.open("/boat/today")


@pytest.mark.keeps_app
def test_when_the_signal_ends_after_the_first_drawing_the_rest_comes_with_the_next_signal(
    new_phone: Callable[..., BoatPhone], signed_in: list[Any]
) -> None:
    phone = new_phone(service_workers="block")
    phone.context.add_cookies(signed_in)
    phone.context.route("**/sync/sync.js", lambda route: route.abort())
    with phone.page.expect_console_message(lambda said: "dynamically imported module" in said.text):
        phone.open("/boat/today")
    phone.context.unroute_all()
    phone.page.evaluate("dispatchEvent(new Event('online'))")
    phone.says("Last sent")
