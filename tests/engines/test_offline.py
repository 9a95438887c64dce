"""The promise of the boat side in WebKit and Firefox: one story each, and each page once. The rest is for Chromium.

Firefox is closed and started again with the same profile. A driven WebKitGTK keeps nothing from start to start: there
the window is closed and another one opened (`engines/webkit.py`).
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import Any

from engines.conftest import OpenPhone
from engines.phone import EnginePhone
from engines.processes import until
from support.boat import Server

from webapp.cli import demo

# Words on the pages, as the diver reads them.
NAME, PASSWORD, SIGN_IN = "Name", "Password", "Sign in"
LIST, LAST_SENT = "Today's dives", "Last sent"
DIVE_TIME, NOTE, SAVE = "Dive time", "Note", "Save"
SAVED, CLEAN, NEXT = "The dive is saved here.", "Clean", "Next deep dive"
NOT_SENT, HERE, ALL_SENT = "1 saved here, not sent yet.", "saved here", "All sent."

# Words that only a page's own code writes, on the demo's morning.
DRAWN = {
    "today": LIST, "ready": "No deep dive today with any of these", "check": "Two people, before the first deep dive.",
    "conditions": "Thermocline at (m)", "care": "No event of the last 28 days", "day": "The plan now",
    "card": "Safety diver leaves", "log": " records", "season": "no clean dive there yet", "clock": "Count down",
    "focus": "Set the next focus", "site": "Name of the site", "technique": "None on this phone yet.",
    "hand": "This phone is in no crew yet.", "crew": "No crew is on this phone yet.", "next": "No crew is on",
    "emergency": "+44 1632 960112", "phone": "the season Spring at Skarn Wall", "coach": "Nobody shares a log with",
    "proposals": "No coach has proposed anything.", "outlook": "the ladder stands",
}  # fmt: skip
WROTE = "slow and easy, in another engine"
WORKER = "() => navigator.serviceWorker.ready.then(() => true)"
ALARM = """() => document.querySelector("#alarm").textContent"""
ENDLESS = """async () => {
  const files = performance.getEntriesByType("resource").map((one) => one.name);
  const { write } = await import(files.find((name) => name.endsWith("/db.js")));
  return new Promise((begun) => {
    write(["records", "outbox", "parked", "kept"], ({ kept }) => {
      const again = () => (kept.get("user").onsuccess = () => (begun(true), again()));
      again();
    });
  });
}"""


def sign_in(phone: EnginePhone) -> None:
    """Sign in and wait until the plan has come and the worker keeps the app."""
    phone.open("/account/sign-in?next=/boat/today")
    phone.fill(NAME, demo.NAME)
    phone.fill(PASSWORD, demo.PASSWORD)
    phone.press(SIGN_IN)
    phone.sees(LIST, LAST_SENT)
    assert phone.engine.ask(WORKER)


def log(phone: EnginePhone) -> None:
    """Log the dive that the plan has filled in."""
    phone.open("/boat/dive")
    phone.fill(DIVE_TIME, "1:30")
    phone.fill(NOTE, WROTE)
    phone.press(SAVE)
    phone.sees(SAVED, CLEAN, NEXT)


def held_by(server: Server) -> dict[str, Any]:
    """The fields of every record in the server's data file."""
    with closing(sqlite3.connect(server.data)) as connection:
        rows = connection.execute("select record, fields from record").fetchall()
    return {record: json.loads(fields) for record, fields in rows}


def test_a_dive_logged_without_signal_after_a_restart_goes_out_once_when_the_server_is_back(
    open_phone: OpenPhone, server: Server
) -> None:
    with open_phone() as phone:
        sign_in(phone)
        planned = phone.main()
    before = held_by(server)
    server.stop()

    with open_phone() as phone:
        phone.open("/boat/today")
        until(phone.main, lambda shown: shown == planned)
        log(phone)
        phone.sees(NOT_SENT)
        [waiting] = phone.kept("outbox")
        [dive] = [row for row in phone.kept("records") if row["fields"].get("note") == WROTE]
        assert waiting["record"] == dive["record"]
        assert waiting["fields"] == dive["fields"]
        assert dive["fields"]["dive_s"] == 90

    with open_phone() as phone:
        phone.open("/boat/log")
        phone.sees(HERE, NOT_SENT)
        assert phone.kept("outbox") == [waiting]
        server.start()
        phone.open("/boat/today")
        phone.sees(ALL_SENT)
        assert phone.kept("outbox") == []

    assert held_by(server) == {**before, dive["record"]: dive["fields"]}


def test_a_page_left_in_the_middle_of_writing_holds_up_no_other_page(open_phone: OpenPhone) -> None:
    """WebKit keeps a page that was left, with all that it had begun, and shows it again on the way back."""
    with open_phone() as phone:
        sign_in(phone)
        phone.open("/boat/log")
        phone.sees(LAST_SENT)
        assert phone.engine.ask(ENDLESS)
        log(phone)


def test_every_page_comes_up_without_an_alarm(open_phone: OpenPhone) -> None:
    with open_phone() as phone:
        sign_in(phone)
        for page, words in DRAWN.items():
            phone.open(f"/boat/{page}")
            phone.sees(words)
            assert phone.engine.ask(ALARM) == "", page
