"""The phone dies: the browser is killed, a tab is closed or crashes in the middle. What it called saved is there."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import time
from itertools import product
from pathlib import Path

from playwright.sync_api import Browser, Error, Page
from support.boat import BoatPhone, kept_browser
from support.faulty import FaultyServer, NewPhone, dives, save

SAVE_AND_SAY = """async (dives) => {
  const outbox = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  const user = (await getKept("user"))?.id ?? null;
  for (const fields of dives) console.log("saved", await outbox.save({ kind: "dive", fields, user }));
}"""

CLOCK_KEPT = """async () => {
  const { getKept } = await import("/static/js/store/db.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  return Boolean((await getKept(keyOf.clocks((await getKept("user"))?.id)))?.[0]?.started_ms);
}"""


def of_profile(profile: Path) -> list[int]:
    """The browser's processes that were started for this profile."""
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            if str(profile).encode() in (entry / "cmdline").read_bytes():
                found.append(int(entry.name))
        except OSError:
            continue
    return found


def test_a_browser_killed_right_after_saved_has_every_dive_when_it_starts_again_without_signal(
    chromium: Browser, server: FaultyServer, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    with kept_browser(chromium, profile, server) as phone:
        phone.sign_in()
        phone.context.set_offline(True)
        phone.open("/boat/clock?plan=0").get_by_role("button", name="Dive started").click()
        phone.page.wait_for_function(CLOCK_KEPT)
        phone.open("/boat/log")
        saved = save(phone, *dives(12))
        for pid in of_profile(profile):
            os.kill(pid, signal.SIGKILL)
        while of_profile(profile):
            time.sleep(0.02)
    for lock in profile.glob("Singleton*"):
        lock.unlink()

    with kept_browser(chromium, profile, server) as phone:
        phone.context.set_offline(True)
        phone.open("/boat/log")
        phone.says("12 saved here, not sent yet.")
        assert phone.page.evaluate(CLOCK_KEPT)  # the dive that was timed runs on
        assert saved == {row["record"]: row["fields"] for row in phone.kept("outbox")}
        phone.context.set_offline(False)
        phone.sign_in()  # a browser stores its cookies later than its dives
        phone.sent()
    assert saved.keys() <= server.records().keys()


def test_a_page_that_ends_in_the_middle_of_saving_leaves_each_dive_whole_or_not_at_all(new_phone: NewPhone) -> None:
    phone = new_phone()
    phone.context.route("**/sync", lambda route: route.abort("connectionrefused"))
    said: list[str] = []
    phone.context.on("console", lambda line: said.extend(re.findall("^saved (.+)", line.text)))
    before: set[str] = set()
    for end, after in product(("reload", "close", "crash"), (1, 4)):
        said.clear()
        end_in_the_middle(phone, said, end, after)
        phone.open("/boat/log")
        phone.says("saved here")
        kept, waiting = phone.kept("records"), phone.kept("outbox")
        made = {row["record"] for row in kept if row["rev"] == 0}
        assert made == {row["record"] for row in waiting}, "never a record without its place in the outbox"
        assert set(said) <= made
        assert before <= made, "what earlier pages saved"
        assert len(set(said)) >= after
        assert len(made - before) < 300, f"it did end in the middle: {end}"
        before = made


def end_in_the_middle(phone: BoatPhone, said: list[str], end: str, after: int) -> None:
    """Let a page save hundreds of dives, and end it after it has said of so many that they are saved."""
    page = phone.page
    page.evaluate(f"(dives) => {{ void ({SAVE_AND_SAY})(dives); }}", dives(300))
    while len(said) < after:
        page.wait_for_timeout(1)
    finish(end, page)
    if end != "reload":
        phone.page = phone.context.new_page()


def finish(end: str, page: Page) -> None:
    if end == "close":
        page.close()
    elif end == "reload":
        page.reload()
    else:
        with contextlib.suppress(Error):
            page.goto("chrome://crash", timeout=5_000)
        page.close()
