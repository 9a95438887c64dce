"""A phone that is handed on: what stays after signing out, what is never stored, and that all of it can be removed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect
from support.boat import MORNING, BoatPhone, Server

from webapp import store
from webapp.actions import accounts, sharing
from webapp.cli import demo
from webapp.web.app import create_app

STORES = ("records", "outbox", "parked")
# Every text that the browser keeps for this site outside its databases.
HELD = """async () => {
  const found = {};
  for (const name of await caches.keys())
    for (const request of await (await caches.open(name)).keys())
      found[new URL(request.url).pathname] = await (await caches.match(request)).text();
  const [local, session] = [localStorage, sessionStorage].map((one) => JSON.stringify(one));
  return { found, local, session, cookies: document.cookie };
}"""
LISTS = """new Promise((resolve) => {
  const request = indexedDB.open("lineslate-lists", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("lists", { keyPath: "path" });
  request.onsuccess = () => {
    const asked = request.result.transaction("lists").objectStore("lists").count();
    asked.onsuccess = () => { request.result.close(); resolve(asked.result); };
  };
})"""
OF_SOMEBODY = (demo.NAME, "csrf", "Skarn", "2026-05")  # the diver, a token, the site, a day of the log


def made_link(server: Server) -> str:
    with create_app({"DATA_FILE": str(server.data)}).app_context():
        token = sharing.make_link(1, "Ebba", MORNING)
    store.close()
    return f"/share/{token}"


def sign_out(phone: BoatPhone, button: str = "Sign out") -> Page:
    page = phone.open("/account/")
    page.get_by_role("button", name=button, exact=True).click()
    page.wait_for_url("**/account/sign-in" if button == "Sign out" else "**/boat/phone")
    return page


def keeps(phone: BoatPhone) -> list[int]:
    """How much the phone holds: dives and clearances, what waits, what needs a look, lists of buddies."""
    return [*(len(phone.kept(name)) for name in STORES), phone.page.evaluate(LISTS)]


def remove(phone: BoatPhone, name: str = "Remove the log from this phone") -> None:
    phone.page.get_by_role("button", name=name, exact=True).click()


def says(phone: BoatPhone, words: str) -> None:
    expect(phone.page.locator("#phone-says")).to_contain_text(words)


def log_one(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    phone.log_as_planned()
    phone.says("1 saved here, not sent yet.")


@pytest.mark.keeps_app
def test_after_signing_out_the_worker_holds_nobodys_data_and_no_page_of_the_shore(
    phone: BoatPhone, server: Server
) -> None:
    link = made_link(server)
    for path in (link, "/seasons/", "/seasons/1/plan", "/account/", "/data/", "/diver/", "/rulebook/", "/sharing/"):
        phone.open(path)
        expect(phone.page.get_by_role("heading", level=1)).not_to_have_text("No signal")
    page = sign_out(phone)
    held = page.evaluate(HELD)

    assert "/boat/today" in held["found"]
    shells = {"/share/offline-shell", "/boat/today", "/pwa/labels.js"}
    assert shells <= set(held["found"])
    assert not [path for path in held["found"] if not path.startswith(("/static/", "/boat/")) and path not in shells]
    pages = {path: text for path, text in held["found"].items() if not path.startswith("/static/")}
    assert not [(path, word) for path, text in pages.items() for word in OF_SOMEBODY if word in text]
    assert not [word for word in OF_SOMEBODY if word in held["local"] + held["session"] + held["cookies"]]


@pytest.mark.keeps_app
def test_after_signing_out_no_page_of_the_shore_comes_back_by_the_way_back_or_without_signal(phone: BoatPhone) -> None:
    phone.open("/seasons/1/plan")
    phone.open("/data/")
    page = sign_out(phone)
    for _ in range(3):
        page.go_back()
        assert demo.NAME not in page.content()
        expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    phone.context.set_offline(True)
    for path in ("/seasons/1/plan", "/data/", "/account/"):
        phone.open(path)
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")


def test_signing_out_says_what_stays_and_leads_to_taking_it_off(phone: BoatPhone) -> None:
    page = sign_out(phone)
    expect(page.get_by_text("The log stays on the phone, with dives")).to_be_visible()
    page.get_by_role("link", name="What this phone keeps").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("This phone")
    expect(page.locator("#phone")).to_contain_text(f"of {demo.NAME}, with notes and signs")
    expect(page.locator("#phone")).to_contain_text("It stays after signing out")


def test_a_phone_that_has_sent_everything_is_empty_after_one_press_and_stays_so(
    phone: BoatPhone, server: Server
) -> None:
    phone.open(made_link(server))
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text(demo.NAME)
    while keeps(phone)[3] == 0:
        phone.page.wait_for_timeout(20)
    before = keeps(phone)
    assert before[0] > 0
    sign_out(phone, "Sign out and remove the log from this phone")
    expect(phone.page.locator("#phone")).to_contain_text("1 list that buddies shared")
    remove(phone)
    says(phone, "Removed. The log is no longer on this phone.")

    assert keeps(phone) == [0, 0, 0, 0]
    assert not [one for one in phone.kept("kept") if demo.NAME in json.dumps(one) or "sheet" in json.dumps(one)]
    for path in ("/boat/log", "/boat/today", "/boat/season", "/boat/phone"):
        phone.open(path)
        phone.says("Nothing to send.")
        assert demo.NAME not in phone.page.content()
    expect(phone.page.locator("#phone")).to_contain_text("This phone keeps no log.")
    phone.sign_in()
    phone.open("/boat/log")
    expect(phone.page.locator("#log h2").first).to_have_text(f"{before[0] - 1} records")  # the site is no entry


@pytest.mark.keeps_app
def test_what_was_not_sent_is_offered_as_a_file_and_goes_only_by_the_divers_word(
    phone: BoatPhone, tmp_path: Path
) -> None:
    log_one(phone)
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    page = phone.open("/boat/phone")
    phone.says("Sign in to send them")
    remove(phone)
    expect(page.get_by_text("Tick this, or send first: these changes are nowhere else.")).to_be_visible()
    expect(page.get_by_role("checkbox")).to_be_focused()
    assert len(phone.kept("outbox")) == 1

    with page.expect_download() as loaded:
        page.get_by_role("button", name="Save as a file", exact=True).click()
    loaded.value.save_as(tmp_path / "unsent.json")
    file = json.loads((tmp_path / "unsent.json").read_text())
    assert [one["fields"]["dive_s"] for one in file["operations"]] == [90]
    page.get_by_role("checkbox").check()
    remove(phone)
    says(phone, "Removed.")
    assert keeps(phone)[:3] == [0, 0, 0]

    phone.sign_in()
    phone.open("/data/")
    page.get_by_label("File").set_input_files(tmp_path / "unsent.json")
    page.get_by_role("button", name="Import the file").click()
    expect(page.get_by_text("1 change from the file is stored")).to_be_visible()


@pytest.mark.keeps_app
def test_a_dive_that_another_tab_saves_after_the_tick_is_not_removed_with_the_others(phone: BoatPhone) -> None:
    log_one(phone)
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    page = phone.open("/boat/phone")
    phone.says("Sign in to send them")
    page.get_by_role("checkbox").check()
    asked: list[Route] = []
    held = [True]

    def hold(route: Route) -> None:
        asked.append(route) if held else route.continue_()

    phone.context.route("**/sync", hold)
    remove(phone)
    while not asked:
        page.wait_for_timeout(20)
    other = phone.context.new_page()
    other.goto(phone.server.url + "/boat/log")
    save = "async (fields) => (await import('/static/js/store/outbox.js')).save({ kind: 'dive', fields, user: null })"
    dive = next(row["fields"] for row in phone.kept("records") if row["kind"] == "dive")
    other.evaluate(save, {**dive, "note": "the late one"})
    held.clear()
    for route in asked:
        route.continue_()

    says(phone, "Nothing was removed: check again.")
    assert len(phone.kept("outbox")) == 2
    expect(page.get_by_role("heading", name="2 changes are only on this phone")).to_be_visible()
    expect(page.get_by_role("checkbox")).not_to_be_checked()


def test_whoever_is_still_signed_in_is_told_that_the_log_would_come_back(phone: BoatPhone) -> None:
    page = phone.open("/boat/phone")
    before = keeps(phone)
    remove(phone)
    says(phone, "You are still signed in on this phone")
    assert keeps(phone) == before
    page.get_by_role("link", name="To Sign out").click()
    page.wait_for_url("**/account/#out-head")


@pytest.mark.keeps_app
def test_without_a_server_it_can_be_removed_after_a_word_of_warning(phone: BoatPhone, server: Server) -> None:
    phone.open("/boat/phone")
    server.stop()
    remove(phone)
    says(phone, "The server does not answer.")
    assert keeps(phone)[0] > 0
    remove(phone, "Remove it anyway")
    says(phone, "Removed.")
    assert keeps(phone) == [0, 0, 0, 0]


def test_an_answer_that_was_on_its_way_does_not_bring_the_log_back(phone: BoatPhone) -> None:
    held: list[tuple[Route, Any]] = []
    seen: list[Route] = []

    def late(route: Route) -> None:
        seen.append(route)
        if len(seen) > 1:
            route.abort()
            return
        held.append((route, route.fetch()))  # the server has answered; the answer has not arrived

    page = phone.open("/boat/phone")
    phone.says("All sent.")
    phone.context.route("**/sync", late)
    page.evaluate("() => { window.ends = import('/static/js/sync/sync.js').then((sync) => sync.sendNow()); }")
    while not held:
        page.wait_for_timeout(20)
    assert page.evaluate("import('/static/js/sync/leave.js').then((leave) => leave.takeOff(new Set()))")
    route, answer = held.pop()
    route.fulfill(response=answer)
    page.evaluate("window.ends.then(() => true, () => true)")

    assert keeps(phone)[:3] == [0, 0, 0]
    assert demo.NAME not in json.dumps(phone.kept("kept"))


@pytest.fixture
def shared_phone(phone: BoatPhone, server: Server, new_phone: Callable[..., BoatPhone]) -> BoatPhone:
    """A phone with an unsent dive of one diver, on which another diver has signed in since."""
    app = create_app({"DATA_FILE": str(server.data)})
    with app.app_context():
        accounts.sign_up("Odd Brae", "brown kelp stands", accounts.invite(1, MORNING), MORNING)
    store.close()
    log_one(phone)
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.sign_in("Odd Brae", "brown kelp stands")
    expect(phone.page.locator("#outbox-more")).to_contain_text("1 change of another diver")
    return phone


@pytest.mark.keeps_app
def test_another_divers_unsent_dives_are_named_offered_as_their_own_file_and_taken_off_too(
    shared_phone: BoatPhone, tmp_path: Path
) -> None:
    sign_out(shared_phone, "Sign out and remove the log from this phone")
    page = shared_phone.page
    expect(page.get_by_role("heading", name="1 change is only on this phone")).to_be_visible()
    expect(page.locator("#phone")).to_contain_text("of other divers who used this phone")
    assert demo.NAME not in page.content()
    with page.expect_download() as loaded:
        page.get_by_role("button", name="Save another diver's records as a file").click()
    loaded.value.save_as(tmp_path / "unsent.json")
    file = json.loads((tmp_path / "unsent.json").read_text())
    assert (file["user"], len(file["operations"])) == (1, 1)
    page.get_by_role("checkbox").check()
    remove(shared_phone)
    says(shared_phone, "Removed.")
    assert keeps(shared_phone) == [0, 0, 0, 0]
