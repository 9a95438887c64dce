"""A server restored from a backup, a server that asks the phone to wait, a phone's file uploaded on shore."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from playwright.sync_api import Route, expect
from support.boat import MORNING, TODAY, BoatPhone, Server

from webapp import store
from webapp.actions import histories, sync
from webapp.store.sqlite import copies

SAVE = """async (dive) => {
  const { save } = await import("/static/js/store/outbox.js");
  return await save(dive);
}"""
READ_FEED = """async () => {
  const { readSlate } = await import("/static/js/store/slate.js");
  const { kept, outbox } = await readSlate();
  return [kept["feed:1"] ?? null, outbox.length];
}"""
DIVE: dict[str, Any] = {
    "date": TODAY, "at": "09:10", "surfaced_at": None, "discipline": "CNF", "role": "drill", "target_m": 18,
    "reached_m": 18, "dive_s": 42, "effort": 3, "signs": [], "note": "",
}  # fmt: skip


def save(phone: BoatPhone, fields: dict[str, Any], record: str | None = None) -> str:
    given = {"kind": "dive", "fields": fields, "user": 1, **({"record": record} if record else {})}
    return str(phone.page.evaluate(SAVE, given))


def send_now(phone: BoatPhone) -> None:
    phone.page.evaluate("import('/static/js/sync/sync.js').then((sync) => sync.sendNow())")


def on_server(server: Server) -> dict[str, dict[str, Any]]:
    with closing(sqlite3.connect(server.data)) as connection:
        rows = connection.execute("SELECT record, fields FROM record WHERE NOT deleted").fetchall()
    return {record: json.loads(fields) for record, fields in rows}


def conflicts(server: Server) -> list[str]:
    with closing(sqlite3.connect(server.data)) as connection:
        return [text for (text,) in connection.execute("SELECT conflict FROM journal") if text != "[]"]


def go_back(server: Server, backup: Path) -> None:
    """Put the backup in the data file's place, as an administrator does: with the server stopped."""
    server.stop()
    copies.restore(backup, server.data)
    server.start()


def another_device(server: Server, record: str, fields: dict[str, Any], base: int) -> None:
    """Let another device of the diver change a dive."""
    operation = {
        "op": str(uuid4()), "schema": 1, "kind": "dive", "record": record, "action": "put", "fields": fields,
        "base": base, "counter": 1, "made_at": MORNING.isoformat(),
    }  # fmt: skip
    asked = {
        "schema": 1, "device": str(uuid4()), "epoch": None, "mark": 0, "today": TODAY, "utc_offset_min": 0, "user": 1,
        "operations": [operation],
    }  # fmt: skip
    store.open_store(server.data)
    assert sync.sync(1, asked, MORNING)["results"][0]["status"] == "stored"
    store.close()


def settled(phone: BoatPhone, server: Server) -> None:
    """Wait until the phone has synced with the restored server and nothing waits."""
    with closing(sqlite3.connect(server.data)) as connection:
        (epoch,) = connection.execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()
    for _ in range(200):
        kept, waiting = phone.page.evaluate(READ_FEED)
        if kept and kept["epoch"] == epoch and not kept["offering"] and waiting == 0:
            return
        phone.page.wait_for_timeout(50)
    raise AssertionError(f"the phone did not finish: {kept}, {waiting} waiting")


@pytest.mark.keeps_app
def test_a_restored_server_gets_back_what_it_lacks_and_an_edit_made_meanwhile(
    phone: BoatPhone, server: Server, tmp_path: Path
) -> None:
    phone.open("/boat/log")
    old = save(phone, DIVE)
    phone.sent()
    copies.back_up(server.data, tmp_path / "kept")
    save(phone, {"note": "added after the backup"}, old)
    lost = save(phone, {**DIVE, "at": "09:40"})
    phone.sent()
    phone.context.set_offline(True)
    save(phone, {"effort": 6}, lost)
    go_back(server, tmp_path / "kept")
    assert lost not in on_server(server)

    phone.context.set_offline(False)
    send_now(phone)
    settled(phone, server)
    held = on_server(server)

    assert held[old]["note"] == "added after the backup"
    assert (held[lost]["at"], held[lost]["effort"]) == ("09:40", 6)
    assert phone.kept("parked") == []
    assert conflicts(server) == [], "one diver's own dives, each once: nobody contradicted anybody"


@pytest.mark.keeps_app
def test_a_phone_that_is_behind_takes_nothing_back_from_a_restored_server(
    phone: BoatPhone, server: Server, tmp_path: Path
) -> None:
    phone.open("/boat/log")
    record = save(phone, DIVE)
    phone.sent()
    copies.back_up(server.data, tmp_path / "kept")
    phone.context.set_offline(True)
    go_back(server, tmp_path / "kept")
    another_device(server, record, {"note": "newer, from elsewhere"}, base=1)

    phone.context.set_offline(False)
    send_now(phone)
    settled(phone, server)

    assert on_server(server)[record]["note"] == "newer, from elsewhere"
    expect(phone.page.locator(f"[data-record='{record}'] .note")).to_have_text("newer, from elsewhere")
    assert conflicts(server) == []


@pytest.mark.keeps_app
def test_a_dive_changed_on_both_sides_of_a_restore_keeps_both_values_and_tells(
    phone: BoatPhone, server: Server, tmp_path: Path
) -> None:
    phone.open("/boat/log")
    record = save(phone, DIVE)
    phone.sent()
    copies.back_up(server.data, tmp_path / "kept")
    save(phone, {"note": "lost with the old file"}, record)
    phone.sent()
    phone.context.set_offline(True)
    go_back(server, tmp_path / "kept")
    another_device(server, record, {"note": "written after the restore"}, base=1)

    phone.context.set_offline(False)
    send_now(phone)
    settled(phone, server)
    store.open_store(server.data)
    steps = histories.history(1, record)
    store.close()

    assert {step.entry.after.get("note") for step in steps} >= {"lost with the old file", "written after the restore"}
    assert [step.lost for step in steps if step.lost] == [("note",)]


@pytest.mark.keeps_app
def test_a_dive_deleted_before_the_restore_is_deleted_again_and_not_brought_back(
    phone: BoatPhone, server: Server, tmp_path: Path
) -> None:
    phone.open("/boat/log")
    record = save(phone, DIVE)
    phone.sent()
    copies.back_up(server.data, tmp_path / "kept")
    phone.page.evaluate(
        "(record) => import('/static/js/store/outbox.js').then((outbox) => outbox.remove({ record, user: 1 }))", record
    )
    phone.sent()
    go_back(server, tmp_path / "kept")
    assert record in on_server(server)

    send_now(phone)
    settled(phone, server)

    assert record not in on_server(server)


def test_the_phone_waits_as_long_as_the_server_asks_whatever_happens_and_then_sends(
    phone: BoatPhone, server: Server
) -> None:
    asked: list[int] = []

    def busy(route: Route) -> None:
        asked.append(1)
        error = {"app": "lineslate", "error": {"code": "too_often", "says": "Too many requests.", "faults": []}}
        route.fulfill(status=429, headers={"Retry-After": "120"}, json=error)

    phone.open("/boat/log")
    phone.context.route("**/sync", busy)
    first = save(phone, DIVE)
    phone.says("The server is busy.")
    second = save(phone, {**DIVE, "at": "09:40"})
    for _ in range(5):
        send_now(phone)
        phone.page.clock.fast_forward(timedelta(seconds=10).seconds * 1000)
        phone.page.wait_for_timeout(30)
    assert len(asked) == 1
    assert {first, second} == {row["record"] for row in phone.kept("outbox")}

    phone.context.unroute("**/sync")
    phone.page.clock.fast_forward(120_000)
    phone.sent()
    assert {first, second} <= set(on_server(server))


@pytest.mark.keeps_app
def test_a_file_of_unsent_dives_is_brought_on_shore_and_the_phone_sends_them_too_without_doubling(
    phone: BoatPhone, server: Server, tmp_path: Path
) -> None:
    phone.open("/boat/log")
    phone.context.set_offline(True)
    record = save(phone, {**DIVE, "note": "in the file"})
    save(phone, {"effort": 5}, record)
    phone.page.locator(".boat-foot summary").click()
    with phone.page.expect_download() as download:
        phone.page.get_by_role("button", name="Save unsent records as a file").click()
    download.value.save_as(tmp_path / "unsent.json")
    phone.context.route("**/sync", lambda route: route.abort())
    phone.context.set_offline(False)

    page = phone.open("/data/")
    page.get_by_label("File of unsent dives").set_input_files(tmp_path / "unsent.json")
    page.get_by_role("button", name="Import the file").click()
    expect(page.get_by_role("status")).to_contain_text("2 changes from the file are stored")
    assert (on_server(server)[record]["note"], on_server(server)[record]["effort"]) == ("in the file", 5)

    phone.context.unroute("**/sync")
    phone.open("/boat/log")
    phone.sent()
    with closing(sqlite3.connect(server.data)) as connection:
        assert connection.execute("SELECT count(*) FROM journal WHERE record = ?", (record,)).fetchone() == (2,)
    phone.page.locator(f"[data-record='{record}'] summary").click()
    phone.page.get_by_role("link", name="History").click()
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("History of")
