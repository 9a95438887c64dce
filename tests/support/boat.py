"""A real server process, and a phone: a real browser at phone size, on a known morning."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page, Request, expect

from support import serving
from support.browsers import ARGS, browser_path
from support.running import Forked
from webapp.cli import demo

MORNING = datetime(2026, 5, 20, 8, 0, tzinfo=UTC)  # a dive day of the demo season with a deep dive
TODAY = "2026-05-20"
PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "timezone_id": "UTC", "locale": "en-GB"}
ROOT = Path(__file__).parents[2]

# As text: Playwright hands values over one by one, and a log has thousands of them.
READ_STORE = """(name) => new Promise((resolve, reject) => {
  const request = indexedDB.open("lineslate");
  request.onerror = () => reject(request.error);
  request.onsuccess = () => {
    const asked = request.result.transaction([name]).objectStore(name).getAll();
    asked.onsuccess = () => {
      request.result.close();
      resolve(JSON.stringify(asked.result, (_, value) => (value === undefined ? null : value)));
    };
  };
})"""

COUNT_STORE = READ_STORE.replace("getAll()", "count()")

NAME_SAFETY = """async ([date, name]) => {
  const { write, getKept } = await import("/static/js/store/db.js");
  const { CHANGED, tellHere } = await import("/static/js/store/news.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  const key = keyOf.safety((await getKept("user"))?.id);
  const names = Object.fromEntries([0, 1, 2, 3, 4, 5].map((index) => [index, name]));
  await write(["kept"], ({ kept }) => void kept.put({ date, names }, key));
  tellHere(CHANGED);
}"""


class Server:
    """`python -m webapp serve` on one data file; it can be stopped and started again at the same address.

    `root` is the tree that it runs from: this one, another one with an app of its own, or a copy of this one's files
    for phones, in which a test makes the next version. Its clock stands still at `moment`. Where `files_stay`, a page
    asks for each file of the app once, and not again at each opening: seventy questions are a third of what one costs.
    """

    main, quiet = staticmethod(serving.main), False

    def __init__(self, data: Path, root: Path = ROOT, moment: datetime = MORNING, files_stay: bool = False) -> None:
        self.data, self.root, self.moment, self.files_stay = data, root, moment, files_stay
        self.port = 0
        self.start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        argv = [*self.wanted(), "--port", str(self.port), "--data", str(self.data)]
        of_its_own = self.root != ROOT and (self.root / "webapp" / "__init__.py").exists()
        self.process = self._started(argv) if of_its_own else Forked(self.main, argv, self.quiet, self.root)
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        found = re.search(r":(\d+)/", said)
        assert found, f"the server did not say where it is: {said!r}"
        self.port = int(found[1])

    def wanted(self) -> list[str]:
        """What `main` asks for before the server's own arguments."""
        return [self.moment.isoformat(), *([serving.FRESH] if self.files_stay else [])]

    def _started(self, argv: list[str]) -> subprocess.Popen[str]:
        """Start it from the other tree, with that tree's app."""
        script = self.root / "tests" / "support" / f"{self.main.__module__.split('.')[-1]}.py"
        errors = subprocess.DEVNULL if self.quiet else None
        return subprocess.Popen(
            [sys.executable, script, *argv], cwd=self.root, stdout=subprocess.PIPE, stderr=errors, text=True
        )

    def close(self) -> None:
        """Let it end properly: the next one has nothing to check in the file."""
        self.process.terminate()
        self.process.wait(30)
        self.stop()

    def stop(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        if self.process.stdout:
            self.process.stdout.close()


class BoatPhone:
    """A phone: its browser context and the open page."""

    def __init__(self, context: BrowserContext, server: Server, keeps_app: bool = True) -> None:
        self.context, self.keeps_app = context, keeps_app
        self.server = server
        self.page: Page = context.pages[0] if context.pages else context.new_page()

    def open(self, path: str) -> Page:
        self.page.goto(self.server.url + path)
        return self.page

    def sign_in(self, name: str = demo.NAME, password: str = demo.PASSWORD) -> None:
        """Sign in and wait until the log has come and the worker keeps the app."""
        self.fill_in_sign_in("/boat/today", name, password)
        self.settled()

    def fill_in_sign_in(self, then: str, name: str = demo.NAME, password: str = demo.PASSWORD) -> None:
        """Sign in by the form, which leads to `then`."""
        page = self.open(f"/account/sign-in?next={then}")
        page.get_by_label("Name").fill(name)
        page.get_by_label("Password").fill(password)
        page.get_by_role("main").get_by_role("button", name="Sign in").click()
        page.wait_for_url(f"**{then}")

    def visit(self, cookies: list[Any]) -> None:
        """Come to Today with the cookies of an earlier sign-in, and wait as after signing in."""
        self.context.add_cookies(cookies)
        self.open("/boat/today")
        self.settled()

    def settled(self) -> None:
        """Wait until the log has come and the worker keeps the app; the crew has named its safety divers by then."""
        self.says("Last sent")
        if self.keeps_app:
            self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.name_safety(TODAY)

    def name_safety(self, date: str, name: str = "Ilka Moor") -> None:
        """Name the safety diver of every dive of this day: until then its deep target is hidden."""
        self.page.evaluate(NAME_SAFETY, [date, name])

    def says(self, words: str) -> None:
        """Wait until the line at the foot of the page contains these words."""
        expect(self.page.locator("#outbox-says")).to_contain_text(words, timeout=30_000)

    def keeps(self, path: str) -> None:
        """Wait until the worker keeps this page, one of those that a first visit leaves out."""
        for _ in range(400):
            if self.page.evaluate("async (path) => Boolean(await caches.match(path))", path):
                return
            self.page.wait_for_timeout(25)
        raise AssertionError(f"{path} is not kept")

    def sent(self) -> None:
        """Wait until nothing waits in the outbox, and the page says so."""
        for _ in range(300):
            if not self.waiting():
                break
            self.page.wait_for_timeout(50)
        self.says("All sent.")

    def kept(self, store: str) -> list[Any]:
        """Everything in one store of the phone's database, read without the app."""
        found: list[Any] = json.loads(self.page.evaluate(READ_STORE, store))
        return found

    def waiting(self) -> int:
        """How many operations wait in the outbox; to ask this again and again takes the phone no time."""
        return int(self.page.evaluate(COUNT_STORE, "outbox"))

    def dives_today(self) -> list[dict[str, Any]]:
        return [row for row in self.kept("records") if row["fields"].get("date") == TODAY]

    def log_as_planned(self, time: str = "1:30") -> None:
        self.open("/boat/today")
        self.page.get_by_role("link", name="Log this dive").click()
        self.page.get_by_label("Dive time").fill(time)
        self.page.get_by_role("button", name="Save").click()
        self.saved()

    def log_with(self, label: str, text: str) -> None:
        """Log the dive that the form has filled in, with one field changed."""
        self.open("/boat/dive").get_by_label(label).fill(text)
        self.page.get_by_role("button", name="Save").click()
        self.saved()

    def saved(self) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_have_text("Saved")


def operations(request: Request) -> list[dict[str, Any]]:
    """The operations that a request to /sync carries."""
    found: list[dict[str, Any]] = json.loads(request.post_data or "{}").get("operations", [])
    return found


def copied(file: Path, to: Path) -> Path:
    """Copy a data file with its key and its write-ahead log; return the copy."""
    for part in file.parent.glob(f"{file.name}*"):
        shutil.copy(part, to / part.name)
    return to / file.name


@contextmanager
def kept_browser(chromium: Browser, profile: Path, server: Server) -> Iterator[BoatPhone]:
    """A browser that keeps its profile on the disk: closing it and opening it again is a restart."""
    path = browser_path(SimpleNamespace(chromium=chromium.browser_type))  # type: ignore[arg-type]
    context = chromium.browser_type.launch_persistent_context(profile, executable_path=path, args=ARGS, **PHONE)
    context.clock.install(time=MORNING)
    try:
        yield BoatPhone(context, server)
    finally:
        with suppress(Error):  # a test may have killed it
            context.close()
