"""From the icon to the next target: nothing that can wait comes before it."""

from __future__ import annotations

from playwright.sync_api import Route, expect
from support.boat import BoatPhone
from support.faulty import until

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


OTHERS = 'import("/static/js/parts/outbox_line.js").then(() => true)'  # and what it needs: all but the updates


def test_when_the_signal_ends_after_the_first_drawing_the_rest_comes_as_soon_as_it_is_back(phone: BoatPhone) -> None:
    """Back after the file was given up, which the browser tells; then back before, which it tells nobody any more."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    for back_before in (False, True):
        phone.context.route("**/parts/app_update.js", hold)
        phone.open("/boat/today")
        until(phone, lambda: held)
        phone.page.evaluate(OTHERS)
        phone.context.set_offline(True)
        phone.context.set_offline(not back_before)
        with phone.page.expect_console_message(lambda said: "dynamically imported module" in said.text):
            held.pop().abort()
        phone.context.unroute_all()
        phone.context.set_offline(False)
        if back_before:
            phone.page.clock.fast_forward(5_000)
        phone.says("Last sent")
