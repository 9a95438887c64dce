"""Logs of others on a phone: they come with the sync, work without signal, and go when their diver takes them back."""

from __future__ import annotations

from typing import Any

import pytest
from support.boat import TODAY, BoatPhone, Server
from support.faulty import NewPhone, send_now, until
from support.sharing import add_diver, ask, give, log_of

from webapp.cli import demo

COACH = "Odd Fenning"
READ = """async () => {
  const { readFeeds } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  return readFeeds(await getKept("user"));
}"""
SAVE = """async (what) => {
  const { saveIn } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  return saveIn({ ...what, user: await getKept("user") });
}"""
REMOVE = """async (what) => {
  const { removeIn } = await import("/static/js/store/feeds.js");
  const { getKept } = await import("/static/js/store/db.js");
  return removeIn({ ...what, user: await getKept("user") });
}"""
DIVE: dict[str, Any] = {
    "date": TODAY, "at": "09:12", "discipline": "FIM", "role": "drill", "target_m": 12, "reached_m": 12,
    "dive_s": 60, "effort": 2, "signs": [], "note": "seen from the buoy",
}  # fmt: skip


@pytest.fixture
def coach(new_phone: NewPhone, server: Server) -> BoatPhone:
    """The phone of a coach with whom nobody shares anything yet."""
    add_diver(server, COACH)
    phone = new_phone(service_workers="block")
    phone.fill_in_sign_in("/boat/today", COACH)
    phone.says("Last sent")
    return phone


def shared(phone: BoatPhone) -> list[Any]:
    return list(phone.page.evaluate(READ)["logs"])


def deliver(phone: BoatPhone) -> None:
    """Sync until nothing waits; a sync that is under way already goes on by itself."""
    send_now(phone)
    until(phone, lambda: phone.kept("outbox") == [])


def test_a_coach_reads_and_logs_for_a_diver_until_the_diver_takes_it_back(
    coach: BoatPhone, phone: BoatPhone, server: Server
) -> None:
    assert shared(coach) == []
    log = log_of(server, demo.NAME)
    give(server, log, COACH, "list")
    send_now(coach)
    ((one),) = shared(coach)
    assert (one["name"], one["rows"], one["snapshot"]) == (demo.NAME, [], None)

    give(server, log, COACH, "list", "log", "write")  # more than before: all of the log comes, from its beginning
    send_now(coach)
    (one,) = shared(coach)
    own = {row["record"]: row["fields"] for row in phone.kept("records") if row["kind"] == "dive"}
    assert {row["record"]: row["fields"] for row in one["rows"] if row["kind"] == "dive"} == own
    assert len(one["snapshot"]["sheet"]["days"]) == demo.DAYS_IN_ALL
    kept = coach.page.evaluate("import('/static/js/store/db.js').then(async ({ getKept }) => getKept('sync'))")
    assert kept["kind"] == "answer"

    coach.context.set_offline(True)
    record = coach.page.evaluate(SAVE, {"feed": log, "kind": "dive", "fields": DIVE})
    coach.page.evaluate(SAVE, {"feed": log, "kind": "dive", "record": record, "fields": {"reached_m": 11}})
    gone = coach.page.evaluate(SAVE, {"feed": log, "kind": "dive", "fields": {**DIVE, "at": "09:40"}})
    coach.page.evaluate(REMOVE, {"feed": log, "record": gone})
    (one,) = shared(coach)
    found = {row["record"]: row for row in one["rows"]}
    assert (found[record]["fields"]["reached_m"], found[record]["waiting"], gone in found) == (11, True, False)
    assert [row["fields"] for row in coach.kept("outbox")][1:] == [{"reached_m": 11}, {**DIVE, "at": "09:40"}, {}]

    coach.context.set_offline(False)
    deliver(coach)
    (one,) = shared(coach)
    assert [row["waiting"] for row in one["rows"] if row["record"] == record] == [False]
    send_now(phone)
    assert [row["fields"]["reached_m"] for row in phone.kept("records") if row["record"] == record] == [11]

    coach.context.set_offline(True)  # on the boat, when the diver on shore ends it
    late = coach.page.evaluate(SAVE, {"feed": log, "kind": "dive", "fields": {**DIVE, "at": "10:30"}})
    give(server, log, COACH)
    coach.context.set_offline(False)
    deliver(coach)
    assert shared(coach) == []
    assert [coach.kept(store) for store in ("feeds", "feed_rows", "feed_ops", "outbox")] == [[], [], [], []]
    (parked,) = coach.kept("parked")  # nothing that was typed is lost
    assert (parked["record"], parked["fields"]["at"], parked["faults"][0]["field"]) == (late, "10:30", "feed")
    assert not ask(server, "SELECT 1 FROM record WHERE record = ?", late)


def test_a_log_that_is_handed_on_takes_the_logs_of_others_with_it(coach: BoatPhone, server: Server) -> None:
    give(server, log_of(server, demo.NAME), COACH, "list", "log")
    send_now(coach)
    assert len(coach.kept("feed_rows")) > 20
    coach.page.evaluate("import('/static/js/sync/leave.js').then(({ takeOff }) => takeOff(new Set()))")
    assert [coach.kept(store) for store in ("feeds", "feed_rows", "feed_ops", "records")] == [[], [], [], []]


def test_a_server_that_was_put_back_gets_the_changes_of_a_feed_once_more(coach: BoatPhone, server: Server) -> None:
    log = log_of(server, demo.NAME)
    give(server, log, COACH, "list", "log", "write")
    send_now(coach)
    record = coach.page.evaluate(SAVE, {"feed": log, "kind": "dive", "fields": DIVE})
    deliver(coach)
    assert ask(server, "SELECT 1 FROM record WHERE record = ?", record)
    ask(server, "DELETE FROM journal WHERE record = ?", record)
    ask(server, "DELETE FROM record WHERE record = ?", record)
    ask(server, "UPDATE meta SET value = 'of-the-older-copy' WHERE name = 'epoch'")
    server.stop()
    server.start()
    send_now(coach)
    until(coach, lambda: ask(server, "SELECT 1 FROM record WHERE record = ?", record))
    deliver(coach)
    assert ask(server, "SELECT 1 FROM record WHERE record = ?", record)
    (one,) = shared(coach)
    assert record in {row["record"] for row in one["rows"]}
