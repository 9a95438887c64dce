"""From the icon to the next target: nothing that can wait comes before it."""

from __future__ import annotations

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


def test_a_page_that_nobody_sees_sends_all_the_same(phone: BoatPhone) -> None:
    phone.context.add_init_script("""
      Object.defineProperty(Document.prototype, "visibilityState", { get: () => "hidden" });
      window.requestAnimationFrame = () => 0; // no frame for it
    """)
    with phone.page.expect_request("**/sync"):
        phone.open("/boat/today")
