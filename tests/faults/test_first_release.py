"""The app as it was first released meets this one: `releases/first.zip` is its tree, frozen."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from support.boat import MORNING, PHONE, ROOT, TODAY, BoatPhone, Server
from support.first_release import unpacked
from support.seasons import sheet_of
from support.static_files import serving_static
from support.story import season

SAVE = """async (fields) => {
  const { save } = await import("/static/js/outbox.js");
  const { getKept } = await import("/static/js/db.js");
  return save({ kind: "dive", fields, user: (await getKept("user")).id });
}"""
UPDATE = """async () => {
  const known = await navigator.serviceWorker.ready;
  await known.update();
  const worker = known.installing ?? known.waiting;
  while (worker.state === "installing") await new Promise((next) => worker.addEventListener("statechange", next));
  return worker.state;
}"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """The first release on a data file of its own."""
    running = Server(tmp_path / "data.sqlite3", unpacked(tmp_path / "first"))
    yield running
    running.stop()


@pytest.fixture
def phone(chromium: Browser, server: Server) -> Iterator[BoatPhone]:
    """A phone with the first release, whose worker keeps it."""
    context = chromium.new_context(**PHONE)
    context.clock.install(time=MORNING)
    made = BoatPhone(context, server)
    page = made.open("/account/sign-up")
    page.get_by_label("Name").fill("Runa Tidewell")
    page.get_by_label("Password").fill("slow kelp drifts")
    page.get_by_role("button", name="Make the account").click()
    page.wait_for_url("**/seasons/new")
    made.open("/boat/log")
    made.says("Last sent")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    yield made
    context.close()


def save(phone: BoatPhone, reached_m: float) -> str:
    """Save a dive with the first release's own module, as it is on the phone."""
    fields: dict[str, Any] = {
        "date": TODAY, "at": "07:30", "surfaced_at": None, "discipline": "FIM", "role": "deep", "target_m": None,
        "reached_m": reached_m, "dive_s": 80, "effort": None, "signs": [], "note": "",
    }  # fmt: skip
    return str(phone.page.evaluate(SAVE, fields))


def on_shore(server: Server) -> list[str]:
    with closing(sqlite3.connect(server.data)) as connection:
        return sorted(row[0] for row in connection.execute("SELECT record FROM record WHERE NOT deleted"))


def test_the_first_release_comes_back_after_the_move_updates_and_loses_no_dive(
    phone: BoatPhone, server: Server
) -> None:
    server.stop()
    saved = [save(phone, 20), save(phone, 21)]
    server.root = ROOT
    server.start()

    assert phone.page.evaluate(UPDATE) == "installed"
    assert {row["record"] for row in phone.kept("records")} == set(saved)
    with phone.page.expect_navigation():
        phone.page.get_by_role("button", name="Use it now").click()
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Log")
    phone.sent()

    assert on_shore(server) == sorted(saved)
    for record in saved:
        expect(phone.page.locator(f"[data-record='{record}']")).to_be_visible()
    assert phone.page.evaluate("import('/static/js/store/db.js').then(() => true)")


READ = """async ([sheet, log, today]) => {
  const { read } = await import("/js/ladder.js");
  try {
    return read(sheet, log, today);
  } catch (error) {
    return { trouble: String(error) };
  }
}"""
SAY = """async (operation) => {
  const head = { "Content-Type": "application/json", Accept: "application/json" };
  const asked = { schema: 1, device: crypto.randomUUID(), epoch: null, mark: 0, today: "2026-05-20",
    utc_offset_min: 0, user: null,
    operations: [{ op: crypto.randomUUID(), schema: 1, base: 0, counter: 1, ...operation }] };
  const answer = await fetch("/sync", { method: "POST", headers: head, body: JSON.stringify(asked) });
  return (await answer.json()).results[0].status;
}"""
SICK = {
    "kind": "day", "record": "20260520-0000-8000-8000-000000000001", "action": "put", "made_at": "2026-05-20T08:00:00Z",
    "fields": {"date": TODAY, "no_diving": "sick"},
}  # fmt: skip

SITE = {
    "kind": "site", "record": "20260520-0000-8000-8000-000000000002", "action": "put", "made_at": SICK["made_at"],
    "fields": {"name": "Invented Bay"},
}  # fmt: skip


def test_the_first_releases_reader_reads_a_sheet_in_todays_form(chromium: Browser, tmp_path: Path) -> None:
    """It would not read a `day` record, which is why it is never sent one."""
    sheet = json.loads(json.dumps(sheet_of(season())))
    today = sheet["days"][0]["date"]
    with serving_static(unpacked(tmp_path) / "static") as address:
        page = chromium.new_page()
        page.goto(f"{address}/css/base.css")
        plan = page.evaluate(READ, [sheet, [], today])
        broken = page.evaluate(READ, [sheet, [{"id": "x", "date": today, "no_diving": "sick"}], today])
        page.close()
    assert plan["next"]["target_m"] > 0
    assert len(plan["days"]) == len(sheet["days"])
    for wrong in ("undefined", "NaN", "{"):
        assert not [day for day in plan["days"] if wrong in day["why"]]
    assert "trouble" in broken


def test_the_first_release_goes_on_with_this_server_until_its_diver_updates(phone: BoatPhone, server: Server) -> None:
    server.stop()
    server.root = ROOT
    server.start()
    phone.page.reload()
    saved = save(phone, 22)
    phone.sent()
    assert on_shore(server) == [saved]
    assert phone.page.evaluate(SAY, SICK) == "stored"
    assert phone.page.evaluate(SAY, SITE) == "stored"
    phone.page.reload()
    phone.sent()
    expect(phone.page.locator(f"[data-record='{saved}']")).to_be_visible()
    phone.page.goto(f"{server.url}/boat/today")
    expect(phone.page.get_by_text("cannot read the plan")).to_have_count(0)  # it is sent no record that it cannot read
    later = save(phone, 23)
    phone.sent()
    assert set(on_shore(server)) == {saved, later, SICK["record"], SITE["record"]}

    assert phone.page.evaluate(UPDATE) == "installed"
    with phone.page.expect_navigation():
        phone.page.get_by_role("button", name="Use it now").click()
    phone.page.goto(f"{server.url}/boat/log")
    expect(phone.page.locator("#log")).to_contain_text("Change to a day, no diving (sick)")
    phone.page.goto(f"{server.url}/boat/emergency")
    expect(phone.page.locator("#site-name")).to_have_text("Invented Bay")
