"""Different versions: a full outbox survives updates of the app, its worker, the phone's storage, the server."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from support.boat import BoatPhone, copied
from support.chaos import HOLD, REFUSE, Chaos, Fault
from support.faulty import FaultyServer, Saved, all_on_shore, dives, nothing_lost, pour, save, send_now, until
from support.running import copy_files

UPDATE = """async () => {
  const known = await navigator.serviceWorker.ready;
  try { await known.update(); } catch (error) { return "not there"; }
  const worker = known.installing ?? known.waiting;
  if (!worker) return "nothing new";
  while (worker.state === "installing") await new Promise((next) => worker.addEventListener("statechange", next));
  return worker.state;
}"""
SERVICE_WORKERS = "allow"  # the phones of this file keep the app
DB = "static/js/store/db.js"


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the files, in which a test can make the next version."""
    return copy_files(tmp_path_factory.mktemp("app") / "tree")


@pytest.fixture(scope="module")
def server(
    demo_file: Path, signed_in: list[Any], tmp_path_factory: pytest.TempPathFactory, tree: Path
) -> Iterator[FaultyServer]:
    """A server on that copy."""
    running = FaultyServer(copied(demo_file, tmp_path_factory.mktemp("server")), tree)
    yield running
    running.stop()


@pytest.fixture(scope="module")
def same_server(server: FaultyServer) -> FaultyServer:
    """That server is also the one of those tests that share a phone."""
    return server


@pytest.fixture(autouse=True)
def first_version(server: FaultyServer) -> Iterator[None]:
    """Restore the files after each test."""
    before = {path: path.read_bytes() for path in server.root.rglob("*.js")}
    yield
    if {path: path.read_bytes() for path in before} != before:
        for path, data in before.items():
            path.write_bytes(data)
        server.again()


@pytest.fixture
def phone(phone: BoatPhone) -> BoatPhone:
    """A phone whose worker keeps the app, and has given it the page that is open."""
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    if not phone.page.evaluate("Boolean(navigator.serviceWorker.controller)"):
        phone.page.reload()
    return phone


def release(server: FaultyServer, path: str, *changes: tuple[str, str]) -> None:
    """Give the server the next version."""
    file = server.root / path
    text = file.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file.write_text(text + "\n// the next version\n", encoding="utf-8")
    server.again()


def take(phone: BoatPhone) -> None:
    """Let the phone find the new version, and use it."""
    assert phone.page.evaluate(UPDATE) == "installed"
    with phone.page.expect_navigation():
        phone.page.get_by_role("button", name="Use it now").click()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Log")


def test_a_full_outbox_goes_through_two_updates_the_second_with_a_change_of_the_phones_storage(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.always = REFUSE
    saved: Saved = pour(phone, dives(150))
    release(server, "static/js/ui/words.js")
    take(phone)
    saved |= save(phone, *dives(1, at="20:00"))
    nothing_lost(saved, server, phone)

    newer = ("const VERSION = 2;", "const VERSION = 3;")
    added = ("  if (from < 1) {", '  if (from < 3) db.createObjectStore("of_the_next_version");\n  if (from < 1) {')
    release(server, DB, newer, added)
    take(phone)
    saved |= save(phone, *dives(1, at="21:00"))
    assert phone.page.evaluate("indexedDB.databases().then((all) => all.map((one) => one.version))") == [3]
    nothing_lost(saved, server, phone)
    assert len(phone.kept("outbox")) == 152

    chaos.always = Fault()
    send_now(phone)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_an_old_tab_lets_go_of_the_storage_for_a_newer_one_and_says_what_to_do(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    saved = save(phone, *dives(3))
    newer = phone.context.new_page()
    newer.goto(phone.page.url)
    opened = newer.evaluate("""() => new Promise((resolve, reject) => {
      const asked = indexedDB.open("lineslate", 3);
      asked.onsuccess = () => { asked.result.close(); resolve("opened"); };
      asked.onerror = () => reject(asked.error);
      setTimeout(() => resolve("hangs"), 3000);
    })""")
    assert opened == "opened"
    late = phone.context.new_page()  # it finds the newer storage when it starts
    late.goto(phone.page.url)
    for page in (phone.page, newer, late):
        expect(page.get_by_role("alert")).to_contain_text("A newer version of Lineslate is open in another tab.")
    assert set(saved) == {row["record"] for row in phone.kept("outbox")}


def test_an_older_app_on_the_phone_goes_on_with_a_newer_server(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    """The server takes every form of operation that was ever released; the page stays until the diver updates it."""
    release(server, "static/js/store/states.js", ('here: "saved here"', 'here: "kept here"'))
    phone.page.reload()
    saved = save(phone, *dives(2))
    phone.says("All sent.")
    phone.sent()
    all_on_shore(saved, server, phone)
    here = "import('/static/js/store/states.js').then((states) => states.STATES.here)"
    assert phone.page.evaluate(here) == "saved here"


def test_a_newer_app_on_the_phone_keeps_everything_when_the_server_is_still_the_older_one(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    """A server set back to its last version does not know the newer form: the phone says so and parks no dive."""
    for path in ("static/js/store/outbox.js", "static/js/sync/exchange.js"):
        release(server, path, ("const SCHEMA = 1;", "const SCHEMA = 2;"))
    take(phone)
    saved = save(phone, *dives(3))
    phone.says("3 saved here, not sent yet. The server does not understand this version of the app.")
    phone.says("They will be sent later.")
    assert (len(phone.kept("outbox")), phone.kept("parked")) == (3, [])
    nothing_lost(saved, server, phone)


WORKER = re.compile(r"/service_worker/service-worker\.js")
WORKERS = [
    Fault("answer", status=404, body=b"not here"),
    Fault("answer", status=500, body=b"broken"),
    Fault("answer", status=200, body=b"<h1>a page</h1>"),
    Fault("answer", status=302, headers="Location: /account/sign-in"),
]


@pytest.mark.same_phone
def test_a_worker_that_comes_as_an_error_a_page_or_a_redirect_leaves_the_app_that_is_there(
    phone: BoatPhone, chaos: Chaos
) -> None:
    for fault in WORKERS:
        chaos.paths, chaos.always = WORKER, fault
        assert phone.page.evaluate(UPDATE) == "not there"
    phone.context.set_offline(True)
    (record,) = save(phone, *dives(1, at="23:50"))  # the newest of the log
    expect(phone.open("/boat/log").locator(f"[data-record='{record}'] .state")).to_have_text("saved here")


@pytest.mark.same_phone
def test_a_worker_and_its_caches_can_go_and_every_dive_stays(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.always = REFUSE
    saved = save(phone, *dives(2))
    phone.page.evaluate("""async () => {
      for (const name of await caches.keys()) await caches.delete(name);
      for (const known of await navigator.serviceWorker.getRegistrations()) await known.unregister();
    }""")
    chaos.always = Fault()
    phone.page.reload()
    phone.sent()
    all_on_shore(saved, server, phone)


def test_two_builds_behind_one_address_never_make_a_page_reload_by_itself(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    loads: list[Page] = []
    phone.page.on("load", lambda page: loads.append(page))
    for at in range(2):  # the second build finds the first one waiting
        release(server, "static/js/ui/words.js")
        for _ in range(3):
            phone.page.clock.fast_forward(16 * 60_000)
            phone.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        assert phone.page.evaluate(UPDATE) == "installed", at
    assert loads == []


@pytest.mark.same_phone
def test_a_worker_that_the_system_stops_is_started_again_and_what_was_on_the_way_arrives_once(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    session = phone.context.new_cdp_session(phone.page)
    session.send("ServiceWorker.enable")
    saved: Saved = {}
    for at in range(2):
        chaos.next(HOLD)
        saved |= save(phone, *dives(1, at=f"1{at}:00"))
        until(phone, lambda: chaos.held)
        session.send("ServiceWorker.stopAllWorkers")
        chaos.release()
        phone.sent()
        session.send("ServiceWorker.stopAllWorkers")
        answered = phone.page.reload()
        assert answered is not None
        assert answered.from_service_worker
    phone.sent()
    all_on_shore(saved, server, phone)
