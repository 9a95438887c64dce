"""How fast the phone's pages come up with a long log: `python tests/bench/phone.py [dives]`.

The demo's diver with the demo's own log, and with as many dives more; a real browser slowed down four times, pages from
the worker, the median of five. A dive is on the disk when "Saved" stands on the page; what it means comes after it.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from playwright.sync_api import Browser, Page  # noqa: E402
from support.boat import PHONE, BoatPhone, Server  # noqa: E402
from support.browsers import running_browser  # noqa: E402
from support.phones import DIVE, Phone  # noqa: E402

from webapp.actions import sync  # noqa: E402
from webapp.cli import demo  # noqa: E402
from webapp.web.app import create_app  # noqa: E402

DIVES, ROUNDS, SLOW_DOWN = 5_000, 5, 4
# what is waited for on each page, and the most milliseconds it should take
PAGES = {
    "/boat/today": (".next-dive, .over", 500),
    "/boat/log": ("#log .rows > li", 300),
    "/boat/dive": ("#dive-form", 500),
    "/boat/season": ("#season svg", 500),
    "/boat/emergency": ("#site-name", 300),
}
SAVED_MS, VERDICT_MS = 100, 500
WATCH = """(() => {
  window.until = (selector) => new Promise((resolve) => {
    const look = () => document.querySelector(selector) && resolve(performance.now());
    new MutationObserver(look).observe(document, { childList: true, subtree: true });
    look();
  });
})()"""
SAVE = """async () => {
  const form = document.querySelector("#dive-form");
  for (const [name, value] of Object.entries({ discipline: "CNF", role: "drill", target_m: "", reached_m: "15" }))
    form.elements[name].value = value;
  const start = performance.now();
  document.querySelector("#save").click();
  const saved = window.until("#thumb[hidden]"), told = window.until(".saved");
  return [await saved - start, await told - start];
}"""


def with_dives(file: Path, count: int, now: datetime) -> None:
    """Make the demo's data as of now, with so many dives more from the years before."""
    app = create_app({"DATA_FILE": str(file)})
    demo.make_if_missing(app, now)
    phone = Phone()
    with app.app_context():
        for at in range(count):
            day = (now - timedelta(days=200 + at // 3)).date().isoformat()
            fields = {**DIVE, "date": day, "at": f"{9 + at % 3:02}:00", "role": "drill", "reached_m": 15}
            phone.put(str(uuid4()), fields, op=str(uuid4()))
        while phone.outbox:
            phone.take(sync.sync(1, phone.request(), now))


def shown_ms(page: Page, address: str, selector: str) -> float:
    """Return after how many milliseconds this stands on the page."""
    page.goto(address)
    return float(page.evaluate("(selector) => window.until(selector)", selector))


def measured(browser: Browser, count: int) -> dict[str, float]:
    """Return the median for each page, and for saving a dive."""
    with tempfile.TemporaryDirectory() as name:
        file, now = Path(name) / "demo.sqlite3", datetime.now(UTC)
        with_dives(file, count, now)
        server = Server(file, moment=now)
        context = browser.new_context(**PHONE)
        context.add_init_script(WATCH)
        phone = BoatPhone(context, server)
        try:
            phone.sign_in()
            phone.sent()
            return {name: statistics.median(some) for name, some in rounds(phone).items()}
        finally:
            context.close()
            server.stop()


def rounds(phone: BoatPhone) -> dict[str, list[float]]:
    """Open each page and save a dive, some rounds long; return the milliseconds of each."""
    phone.context.new_cdp_session(phone.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOW_DOWN})
    took: dict[str, list[float]] = {}
    for _ in range(ROUNDS):
        for path, (selector, _) in PAGES.items():
            took.setdefault(path, []).append(shown_ms(phone.page, phone.server.url + path, selector))
        shown_ms(phone.page, phone.server.url + "/boat/dive", "#dive-form")
        phone.page.wait_for_timeout(1_500)  # nobody types a dive faster than the page has asked for news
        for name, ms in zip(("saved", "verdict"), phone.page.evaluate(SAVE), strict=True):
            took.setdefault(name, []).append(ms)
    return took


def main() -> None:
    """Measure both logs and print them side by side."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else DIVES
    goals = {**{path: most for path, (_, most) in PAGES.items()}, "saved": SAVED_MS, "verdict": VERDICT_MS}
    with running_browser() as browser:
        short, long = measured(browser, 0), measured(browser, count)
    for name, most in goals.items():
        print(
            f"{name:13} {long[name]:6.0f} ms with {count:,} dives more (goal {most}), "
            f"{long[name] / short[name]:.1f} x the {short[name]:.0f} ms of the demo's own log"
        )


if __name__ == "__main__":
    main()
