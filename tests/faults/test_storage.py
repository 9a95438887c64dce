"""The phone's own storage fails: full, cleared, closed, broken, missing. It says saved only of what is stored whole."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from support.boat import ROOT, BoatPhone
from support.chaos import Chaos
from support.faulty import FaultyServer, NewPhone, all_on_shore, dives, nothing_lost, pour, save, send_now, until

OUTBOXES = sorted((Path(__file__).parent / "outboxes").glob("*.json"))
LAY_IN = """async (kept) => {
  const { write } = await import("/static/js/store/db.js");
  await write(Object.keys(kept), (stores) => {
    for (const [name, rows] of Object.entries(kept)) for (const row of rows) stores[name].put(row);
  });
}"""
NEVER_ANSWERS = """
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...asked) {
    if (window.closeAlways && asked[1] === "readwrite") this.close();
    return begin.apply(this, asked);
  };
"""
COUNT_TRANSACTIONS = """() => {
  window.begun = [];
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (names, mode, ...rest) {
    if (mode === "readwrite") window.begun.push([...names].sort().join());
    return begin.call(this, names, mode, ...rest);
  };
}"""


# the log's own, a buddy's copy of a list, clips, which have a database of their own, and what the worker reads of Today
OPENS = ("db.js", "lists.js", "clips.js", "first_view.js")
ROOMY, TIGHT, LESS = 1_000_000_000, 600_000, 100_000
FILL_UP = """async () => {
  const { setKept } = await import("/static/js/store/db.js");
  const noise = (size) => Array.from({ length: size }, () => String.fromCharCode(33 + Math.random() * 90)).join("");
  const names = new Set();
  for (const size of [40_000, 4_000, 200])
    for (let at = 0; at < 300; at += 1)
      try { await setKept(`filler ${size} ${at}`, noise(size)); } catch (error) { names.add(error.name); break; }
  return [...names];
}"""


NOT_YET = """
  window.register = navigator.serviceWorker.register.bind(navigator.serviceWorker);
  ServiceWorkerContainer.prototype.register = () => Promise.reject(new Error("not yet"));
"""
REGISTER = """async () => {
  const asked = { type: "module", scope: "/", updateViaCache: "none" };
  const known = await window.register("/service_worker/service-worker.js", asked);
  const worker = known.installing;
  while (worker?.state === "installing") await new Promise((next) => worker.addEventListener("statechange", next));
  return worker?.state ?? "redundant";
}"""
KEPT_FILES = """async () => {
  let found = 0;
  for (const name of await caches.keys()) found += (await (await caches.open(name)).keys()).length;
  return found;
}"""


def quota(page: Page, url: str, size: int) -> None:
    """Let the browser give this origin so many bytes and no more."""
    page.context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": size})


def full(phone: BoatPhone) -> None:
    """Fill what is left."""
    assert phone.page.evaluate(FILL_UP) == ["QuotaExceededError"]


def fill_and_save(page: Page, note: str) -> None:
    if not page.get_by_label("Depth reached").input_value():  # no planned dive is open
        page.get_by_role("radio", name=re.compile("^CNF")).check()
        page.get_by_role("radio", name="drill").check()
        page.get_by_label("Depth reached").fill("17")
    page.get_by_label("Note").fill(note)
    page.get_by_role("button", name="Save").click()


def test_when_the_phones_storage_is_full_it_says_not_saved_holds_the_form_and_saves_when_there_is_room(
    new_phone: NewPhone, chaos: Chaos, server: FaultyServer
) -> None:
    phone = new_phone(before=lambda page: quota(page, chaos.url, TIGHT))
    phone.context.set_offline(True)
    saved = save(phone, *dives(2))
    full(phone)
    phone.context.set_offline(False)
    send_now(phone)
    page = phone.open("/boat/dive")
    quota(page, chaos.url, LESS)  # what was sent has left a little room, and the browser tidies up when it likes
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    full(phone)  # Chromium grants room ahead and does not ask again until that is used up
    fill_and_save(page, "keep me " * 200)
    expect(page.get_by_role("alert").filter(has_text="NOT saved")).to_be_visible()
    nothing_lost(saved, server, phone)
    expect(page.get_by_label("Note")).to_have_value("keep me " * 200)
    assert [row for row in phone.kept("records") if "keep me" in row["fields"].get("note", "")] == []

    quota(page, chaos.url, ROOMY)
    page.get_by_role("button", name="Save").click()
    phone.saved()
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_phone_too_full_for_news_shows_what_it_has_and_takes_them_when_there_is_room(
    new_phone: NewPhone, phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    reader = new_phone(before=lambda page: quota(page, chaos.url, TIGHT))
    known = len(reader.kept("records"))
    full(reader)
    saved = save(phone, *dives(40, note="n" * 1000))
    phone.sent()
    send_now(reader)
    assert len(reader.kept("records")) == known
    expect(reader.page.locator(".rows li").first).to_be_visible()

    quota(reader.page, chaos.url, ROOMY)
    send_now(reader)
    assert saved.keys() <= {row["record"] for row in reader.kept("records")}


@pytest.mark.same_phone
def test_a_version_that_finds_no_room_leaves_nothing_behind_and_dives_are_kept_all_the_same(
    new_phone: NewPhone, chaos: Chaos, server: FaultyServer
) -> None:
    def before(page: Page) -> None:
        page.add_init_script(NOT_YET)
        quota(page, chaos.url, TIGHT)

    phone = new_phone(service_workers="allow", before=before)
    full(phone)
    assert phone.page.evaluate(REGISTER) == "redundant"
    assert phone.page.evaluate(KEPT_FILES) == 0
    quota(phone.page, chaos.url, ROOMY)
    saved = save(phone, *dives(2))
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_phone_whose_storage_was_cleared_gets_all_back_and_never_says_delete(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    saved = save(phone, *dives(3))
    phone.sent()
    before = len(phone.kept("records"))
    phone.context.new_cdp_session(phone.page).send(
        "Storage.clearDataForOrigin", {"origin": chaos.url, "storageTypes": "indexeddb,cache_storage,service_workers"}
    )
    phone.open("/boat/log")
    phone.says("All sent.")
    expect(phone.page.locator(".rows li").first).to_be_visible()
    assert len(phone.kept("records")) == before
    assert server.ask("select count(*) from journal where action = 'delete'") == [(0,)]
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_handle_that_is_closed_twice_is_told_as_not_saved_and_the_form_stays(new_phone: NewPhone) -> None:
    phone = new_phone("/boat/dive", before=lambda page: page.add_init_script(NEVER_ANSWERS))
    page = phone.page
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    before = phone.dives_today()
    page.evaluate("window.closeAlways = true")
    fill_and_save(page, "closed under me")
    expect(page.get_by_role("alert").filter(has_text="NOT saved")).to_be_visible()
    expect(page.get_by_label("Note")).to_have_value("closed under me")
    assert before == phone.dives_today()
    page.evaluate("window.closeAlways = false")
    page.get_by_role("button", name="Save").click()
    phone.saved()


def test_a_dive_and_its_place_in_the_outbox_are_kept_in_one_transaction_on_a_slow_phone_too(phone: BoatPhone) -> None:
    phone.context.new_cdp_session(phone.page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    phone.context.set_offline(True)
    phone.page.evaluate(COUNT_TRANSACTIONS)
    save(phone, *dives(1))
    begun = phone.page.evaluate("window.begun.filter((names) => names.includes('records') || names.includes('outbox'))")
    assert begun == ["kept,outbox,parked,records"]


def test_only_one_module_opens_the_storage_and_no_work_inside_a_transaction_waits() -> None:
    """Waiting for anything else ends a transaction, and the rest of its work is lost silently."""
    for path in (ROOT / "static" / "js").rglob("*.js"):
        text = path.read_text(encoding="utf-8")
        assert path.name in OPENS or "indexedDB" not in text, path
        assert not re.search(r"\b(write|read|writeRelaxed)\((\[[^\]]*\]|STORES), async", text), path


@pytest.mark.parametrize("path", OUTBOXES, ids=lambda path: path.stem)
def test_an_outbox_of_every_version_ever_released_goes_out_and_a_broken_row_is_set_aside(
    path: Path, new_phone: NewPhone, server: FaultyServer
) -> None:
    """The whole rows arrive; the broken row needs a look, delays no other, and can be saved as a file."""
    phone = new_phone()
    phone.context.set_offline(True)
    kept = json.loads(path.read_text(encoding="utf-8"))
    phone.page.evaluate(LAY_IN, kept["stores"])
    page = phone.page
    phone.context.set_offline(False)
    page.reload()
    until(phone, lambda: not phone.waiting())
    assert set(kept["good"]) <= set(server.records())
    phone.says("need")
    expect(page.get_by_role("heading", name="Needs a look")).to_be_visible()
    assert len(phone.kept("parked")) == kept["broken"]
    page.locator(".boat-foot summary").click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save unsent records as a file").click()
    assert len(json.loads(download.value.path().read_text(encoding="utf-8"))["parked"]) == kept["broken"]

    section = page.locator(".rows li").filter(has_text="A record that cannot be read any more")
    buttons = section.get_by_role("button", name="Delete")
    for _ in range(len(kept["damaged"])):
        left = buttons.count()
        buttons.first.click()
        expect(buttons).to_have_count(left - 1)  # or the next touch would find the same record
    until(phone, lambda: not phone.kept("parked"))
    save(phone, *dives(1))
    phone.sent()


@pytest.mark.same_phone
def test_a_page_of_news_and_the_mark_that_stands_for_it_are_kept_together_or_not_at_all(
    new_phone: NewPhone, phone: BoatPhone
) -> None:
    reader = new_phone()
    known, marks = len(reader.kept("records")), reader.kept("kept")
    saved = save(phone, *dives(4))
    phone.sent()
    reader.page.evaluate("""() => {
      const put = IDBObjectStore.prototype.put;
      window.broken = true;
      IDBObjectStore.prototype.put = function (value, ...rest) {
        if (window.broken && this.name === "records") throw new DOMException("cut", "AbortError");
        return put.call(this, value, ...rest);
      };
    }""")
    send_now(reader)
    assert (known, marks) == (len(reader.kept("records")), reader.kept("kept"))
    reader.page.evaluate("window.broken = false")
    send_now(reader)
    assert saved.keys() <= {row["record"] for row in reader.kept("records")}


def test_dives_that_wait_for_more_than_a_day_come_with_the_advice_to_save_them_as_a_file(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    save(phone, *dives(1))
    phone.says("1 saved here, not sent yet. They will be sent when there is signal.")
    expect(phone.page.locator("#outbox-says")).not_to_contain_text("more than a day")
    phone.page.clock.fast_forward(25 * 3_600_000)
    save(phone, *dives(1))
    phone.says("Some have waited for more than a day: save them as a file too.")


AGREED = {
    "true": "The browser has agreed to keep this log until you remove it.",
    "false": "The browser may clear this log when space runs out. Send it when there is signal.",
}


@pytest.mark.same_phone
def test_the_page_tells_whether_the_browser_agreed_to_keep_the_log(phone: BoatPhone) -> None:
    """A private window, as a test has, never gets the promise: the test gives the browser's answer."""
    for granted, says in AGREED.items():
        phone.page.add_init_script(
            f"StorageManager.prototype.persisted = StorageManager.prototype.persist = async () => {granted};"
        )
        page = phone.open("/boat/log")
        page.locator(".boat-foot summary").click()
        expect(page.get_by_text(says)).to_be_visible()


@pytest.mark.same_phone
@pytest.mark.parametrize(
    "missing",
    [
        "delete Object.getPrototypeOf(navigator).locks;",
        "crypto.randomUUID = undefined;",
        "delete window.BroadcastChannel;",
    ],
    ids=["locks", "randomUUID", "BroadcastChannel"],
)
def test_an_older_browser_without_this_still_saves_and_sends(
    missing: str, new_phone: NewPhone, server: FaultyServer
) -> None:
    phone = new_phone(before=lambda page: page.add_init_script(missing))
    saved = save(phone, *dives(1))
    phone.sent()
    all_on_shore(saved, server, phone)


@pytest.mark.same_phone
def test_a_window_that_cannot_keep_anything_says_so_before_a_dive_is_typed(phone: BoatPhone) -> None:
    phone.page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined });")
    for path in ("/boat/today", "/boat/dive", "/boat/log"):
        page = phone.open(path)
        expect(page.get_by_role("alert").filter(has_text="This window cannot keep dives")).to_be_visible()
    phone.open("/boat/dive")
    expect(phone.page.get_by_role("button", name="Save")).not_to_be_visible()


def test_two_thousand_dives_in_one_outbox_go_out_in_hundreds_and_the_page_stays_usable(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    phone.context.set_offline(True)
    saved = pour(phone, dives(2000, date="2026-05-19"))
    page = phone.page
    asked = len(chaos.seen)
    phone.context.set_offline(False)
    started = page.evaluate("performance.timeOrigin + performance.now()")
    until(phone, lambda: not phone.waiting(), every_ms=200)  # asking takes the phone time too
    phone.sent()
    assert page.evaluate("performance.timeOrigin + performance.now()") - started < 60_000
    assert len([one for one in chaos.seen[asked:] if one.operations]) == 20
    all_on_shore(saved, server, phone)
    expect(page.locator(".rows li").first).to_be_visible()
