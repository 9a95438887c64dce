"""How fast the app opens from its icon without signal: `python tests/bench/cold_start.py [rounds]`.

For each measurement a browser with a kept profile is started anew, and left until its own start is over. Taken is the
time from the start of the navigation to /boat/today until the frame with the next target is drawn, on the demo's data,
without network, and until the page's own code is there (it draws the page once more, and buttons work from then on).
In turns with it the same for an empty page that a worker of three lines answers from its cache; it has this server's
security headers, which cost both pages the same. What counts is how many times the empty page's time today's page
takes, at full speed and with the page's thread slowed down six times.
"""

from __future__ import annotations

import json
import os
import statistics
import sys
import tempfile
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from playwright.sync_api import BrowserContext, BrowserType, sync_playwright  # noqa: E402
from support.boat import PHONE, BoatPhone, Server  # noqa: E402
from support.browsers import ARGS, browser_path  # noqa: E402
from support.faulty import until  # noqa: E402
from support.static_files import serving_static  # noqa: E402

from webapp import store  # noqa: E402
from webapp.cli import demo  # noqa: E402
from webapp.web.app import create_app  # noqa: E402
from webapp.web.security import HEADERS  # noqa: E402

ROUNDS, GOAL = 9, 1.5
SPEEDS = (1, 6)
SETTLED_MS = 500
PAGE = '<!doctype html><html lang="en"><meta charset="utf-8"><title>Empty</title><link rel="icon" href="data:,">'
EMPTY = {
    "kept.html": f"{PAGE}<p id=empty>Nothing here",
    "first.html": f"{PAGE}<script src=first.js></script>",
    "first.js": 'navigator.serviceWorker.register("worker.js");',
    "worker.js": """
const keep = async () => (await caches.open("empty")).add("kept.html");
self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("fetch", (event) => event.respondWith(caches.match(event.request)));
""",
}
READY = "navigator.serviceWorker.ready.then(() => true)"
# what is seen, one after the other: the number that counts, and a button that only the page's own code makes
SEEN = {"drawn": "#empty, .next-dive .big", "live": "#empty, #rename-safety:not([inert])"}
# each resolves when the frame in which it first stands on the page has been drawn; it is looked for only from then on
WATCH = (
    f"const seen = {json.dumps(SEEN)};"
    + """
const watch = (what) => new Promise((resolve) => {
  const look = () => {
    if (!document.querySelector(what)) return;
    watching.disconnect();
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now())));
  };
  const watching = new MutationObserver(look);
  watching.observe(document, { childList: true, subtree: true });
  look();
});
window.drawn = watch(seen.drawn);
window.live = window.drawn.then(() => watch(seen.live));
"""
)
# whether Today has kept the drawing that it shows now
KEPT = """async () => {
  const { getKept } = await import("/static/js/store/db.js");
  return (await getKept("first_view"))?.writes === (await getKept("writes"));
}"""


class Profile:
    """What a browser keeps on the disk: each start of it is a new process."""

    def __init__(self, chromium: BrowserType, folder: Path) -> None:
        self.path = browser_path(SimpleNamespace(chromium=chromium))  # type: ignore[arg-type]
        self.chromium, self.folder = chromium, folder

    def start(self) -> AbstractContextManager[BrowserContext]:
        options: dict[str, Any] = {"executable_path": self.path, "args": ARGS, **PHONE}
        return self.chromium.launch_persistent_context(self.folder, **options)

    def visit(self, server: Server, empty: str) -> None:
        """Let it keep both pages: today's signed in, with the whole log."""
        with self.start() as context:
            phone = BoatPhone(context, server)
            phone.sign_in()
            phone.sent()
            phone.name_safety(datetime.now(UTC).date().isoformat())  # until then the target is hidden
            until(phone, lambda: phone.page.evaluate(KEPT))
            phone.page.goto(f"{empty}/first.html")
            phone.page.evaluate(READY)

    def seen_ms(self, address: str, slow_down: int) -> dict[str, float]:
        """Start the browser and open this page without network; return when each was first seen."""
        with self.start() as context:
            context.add_init_script(WATCH)
            context.set_offline(True)
            page = context.pages[0]
            page.wait_for_timeout(SETTLED_MS)
            context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slow_down})
            answer = page.goto(address)
            assert answer is not None
            assert answer.from_service_worker
            return {name: float(page.evaluate(f"() => window.{name}")) for name in SEEN}


@contextmanager
def prepared(chromium: BrowserType, folder: Path) -> Iterator[tuple[Profile, dict[str, str]]]:
    """A profile that keeps both pages, and their addresses."""
    data, now = folder / "demo.sqlite3", datetime.now(UTC)
    demo.make_if_missing(create_app({"DATA_FILE": str(data)}), now)
    store.close()
    (folder / "empty").mkdir()
    for name, text in EMPTY.items():
        (folder / "empty" / name).write_text(text, encoding="utf-8")
    profile, server = Profile(chromium, folder / "profile"), Server(data, moment=now)
    try:
        with serving_static(folder / "empty", HEADERS) as empty:
            profile.visit(server, empty)
            yield profile, {"empty": f"{empty}/kept.html", "today": f"{server.url}/boat/today"}
    finally:
        server.stop()


def measured(profile: Profile, pages: dict[str, str], speed: int, rounds: int) -> dict[str, list[float]]:
    """Open the pages in turns, some rounds long; return the milliseconds of each."""
    took: dict[str, list[float]] = {}
    for _ in range(rounds):
        for name, address in pages.items():
            for seen, ms in profile.seen_ms(address, speed).items():
                took.setdefault(f"{name} {seen}", []).append(ms)
    return took


def main() -> None:
    """Measure at both speeds, and print how many times the empty page's time today's page takes."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    with (
        tempfile.TemporaryDirectory() as name,
        sync_playwright() as playwright,
        prepared(playwright.chromium, Path(name)) as (profile, pages),
    ):
        for speed in SPEEDS:
            before = os.getloadavg()[0]
            took = measured(profile, pages, speed, rounds)
            print(f"{speed} times slower, {rounds} rounds, load {before:.1f} to {os.getloadavg()[0]:.1f}, goal {GOAL}")
            for said, of in (("minimum", min), ("median", statistics.median)):
                empty, drawn, live = (of(took[one]) for one in ("empty drawn", "today drawn", "today live"))
                print(
                    f"  {said:8} {drawn / empty:.2f} times: {drawn:5.0f} ms, the empty page {empty:5.0f} ms; "
                    f"its own code {live / empty:.2f} times: {live:5.0f} ms"
                )


if __name__ == "__main__":
    main()
