"""The worker: answers only same-origin GET requests, keeps whole versions, and never reloads a page unasked."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect
from support.boat import BoatPhone, Server
from support.running import copy_files

CACHED = """async () => {
  const found = [];
  for (const name of await caches.keys())
    for (const request of await (await caches.open(name)).keys()) found.push([name, new URL(request.url).pathname]);
  return found;
}"""
LOOK_FOR_UPDATE = """async () => {
  const registration = await navigator.serviceWorker.ready;
  await registration.update();
  const worker = registration.installing ?? registration.waiting;
  if (!worker) return "nothing new";
  while (worker.state === "installing") await new Promise((next) => worker.addEventListener("statechange", next));
  return worker.state;
}"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A copy of the files, so that a test can make the next version of them."""
    return copy_files(tmp_path / "tree")


def release(server: Server) -> None:
    """Give the server a version that the phone does not have."""
    with (server.root / "static/css/boat.css").open("a", encoding="utf-8") as style:
        style.write("/* the next version */\n")
    server.stop()
    server.start()


def update(phone: BoatPhone) -> str:
    """Let the phone look for a new version; return the state of it."""
    return str(phone.page.evaluate(LOOK_FOR_UPDATE))


@pytest.mark.keeps_app
def test_shells_come_from_the_worker_and_a_sync_never_passes_through_it(phone: BoatPhone) -> None:
    with phone.page.expect_response("**/sync") as sync:
        response = phone.page.goto(phone.server.url + "/boat/today")
    assert response is not None
    assert response.from_service_worker
    assert not sync.value.from_service_worker


@pytest.mark.keeps_app
def test_nothing_is_kept_but_shells_and_static_files(phone: BoatPhone) -> None:
    """No page with a token or somebody's data, signed in or not."""
    for path in ("/seasons/", "/account/", "/rulebook/", "/sharing/"):
        phone.open(path)
    kept = {path for _, path in phone.page.evaluate(CACHED)}
    assert {"/boat/today", "/boat/dive", "/boat/log", "/boat/season", "/share/offline-shell"} <= kept
    others = {path for path in kept if not path.startswith(("/static/", "/boat/"))}
    assert others == {"/share/offline-shell", "/pwa/labels.js"}
    shells = phone.page.evaluate(
        "Promise.all(['/boat/today', '/share/offline-shell'].map(async (path) => (await caches.match(path)).text()))"
    )
    assert not [shell for shell in shells if "Runa" in shell or "csrf" in shell]


@pytest.mark.keeps_app
def test_a_new_version_waits_until_the_diver_asks_and_the_outbox_is_untouched(phone: BoatPhone) -> None:
    phone.context.set_offline(True)
    phone.log_as_planned()
    phone.context.route("**/sync", lambda route: route.abort("connectionrefused"))
    phone.context.set_offline(False)
    page = phone.open("/boat/today")
    waiting = phone.kept("outbox")
    assert len(waiting) == 1
    before = {name for name, _ in page.evaluate(CACHED)}
    release(phone.server)
    page.evaluate("window.notReloaded = true")
    assert update(phone) == "installed"

    expect(page.get_by_text("A new version is ready.")).to_be_visible()
    assert page.evaluate("window.notReloaded") is True
    with page.expect_navigation():
        page.get_by_role("button", name="Use it now").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    after = {name for name, _ in page.evaluate(CACHED)}
    assert len(after) == 1, "the older version is cleared away"
    assert after != before
    assert waiting == phone.kept("outbox")


@pytest.mark.keeps_app
def test_a_half_filled_form_survives_the_new_version(phone: BoatPhone) -> None:
    page = phone.open("/boat/dive")
    page.get_by_label("Note").fill("half a thought")
    release(phone.server)
    assert update(phone) == "installed"
    with page.expect_navigation():
        page.get_by_role("button", name="Use it now").click()
    expect(page.get_by_label("Note")).to_have_value("half a thought")


@pytest.mark.keeps_app
def test_half_a_version_is_never_kept_and_the_older_one_goes_on(phone: BoatPhone) -> None:
    before = phone.page.evaluate(CACHED)
    release(phone.server)
    phone.context.route("**/static/js/pages/log.js", lambda route: route.fulfill(status=502, body="bad gateway"))
    assert update(phone) == "redundant"
    assert sorted(before) == sorted(phone.page.evaluate(CACHED))
    phone.context.set_offline(True)
    expect(phone.open("/boat/log").locator(".rows li").first).to_be_visible()


@pytest.mark.keeps_app
def test_a_shell_that_answers_with_a_redirect_is_never_kept(phone: BoatPhone) -> None:
    before = phone.page.evaluate(CACHED)
    release(phone.server)
    moved = {"Location": "/account/sign-in"}
    phone.context.route("**/boat/season", lambda route: route.fulfill(status=302, headers=moved))
    assert update(phone) == "redundant"
    assert sorted(before) == sorted(phone.page.evaluate(CACHED))


@pytest.mark.keeps_app
def test_a_server_that_changes_its_version_meanwhile_leaves_the_older_one_whole(phone: BoatPhone) -> None:
    before = phone.page.evaluate(CACHED)
    release(phone.server)
    phone.context.route("**/service_worker/version", lambda route: route.fulfill(body="a newer one"))
    assert update(phone) == "redundant"
    assert sorted(before) == sorted(phone.page.evaluate(CACHED))


def test_the_phone_may_install_it(phone: BoatPhone) -> None:
    manifest = phone.page.evaluate("fetch('/pwa/manifest.webmanifest').then((answer) => answer.json())")
    sizes = {icon["sizes"] for icon in manifest["icons"]}
    assert {"192x192", "512x512"} <= sizes
    assert "maskable" in {icon.get("purpose") for icon in manifest["icons"]}
    for icon in manifest["icons"]:
        assert phone.page.evaluate("(src) => fetch(src).then((answer) => answer.status)", icon["src"]) == 200
    session = phone.context.new_cdp_session(phone.page)
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert {error["errorId"] for error in errors} <= {"in-incognito"}, "a test's window is always a private one"


@pytest.mark.keeps_app
def test_pages_that_a_first_visit_leaves_out_are_kept_from_the_second_one_on(phone: BoatPhone) -> None:
    left_out = ["/boat/focus", "/boat/technique", "/boat/hand"]
    assert not {path for _, path in phone.page.evaluate(CACHED)} & set(left_out)
    phone.open("/boat/today")
    for path in left_out:
        phone.keeps(path)
    phone.context.set_offline(True)
    expect(phone.open("/boat/focus").get_by_role("heading", level=1)).to_have_text("Technique focus")
    expect(phone.open("/boat/hand").locator("#no-crew")).to_be_visible()


@pytest.mark.keeps_app
def test_a_text_that_another_app_shares_is_put_aside_without_signal_and_read_once(phone: BoatPhone) -> None:
    page = phone.open("/boat/today")
    phone.keeps("/boat/hand")
    phone.context.set_offline(True)
    page.evaluate("""() => {
      const form = document.createElement("form");
      Object.assign(form, { method: "post", enctype: "multipart/form-data", action: "/boat/received" });
      const input = document.createElement("input");
      Object.assign(input, { type: "file", name: "day" });
      const files = new DataTransfer();
      files.items.add(new File(["a shopping list"], "list.txt", { type: "text/plain" }));
      input.files = files.files;
      form.append(input);
      document.body.append(form);
      form.submit();
    }""")
    expect(page.locator("#hand-says")).to_contain_text("This is not a crew day of Lineslate.")
    assert page.url.endswith("/boat/hand")
    assert page.evaluate("async () => (await (await caches.open('received')).keys()).length") == 0
