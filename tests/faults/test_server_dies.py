"""The server dies or fails at every point of a batch: what it acknowledged it has, and nothing is there twice."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from http.client import HTTPConnection

from support.boat import BoatPhone
from support.chaos import DUP, Chaos, ours
from support.crash import POINTS
from support.faulty import FaultyServer, all_on_shore, dives, nothing_lost, pour, save, send_now


def test_a_server_killed_at_any_point_of_a_batch_has_every_dive_once_after_its_restart(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    """Before the batch, while it is written, before and after the commit, in the middle of the answer."""
    everything = {}
    for point in POINTS:
        phone.context.set_offline(True)
        saved = pour(phone, dives(9, discipline="FIM"))
        server.again(point=point)
        phone.context.set_offline(False)
        phone.says("9 saved here, not sent yet. Lineslate's server does not answer.")
        assert server.ended() == 9
        committed = point in ("after_commit", "mid_answer")
        assert len(saved.keys() & server.records().keys()) == (9 if committed else 0), point
        nothing_lost(saved, server, phone)
        assert len(phone.kept("outbox")) == 9

        server.again()
        send_now(phone)
        phone.sent()
        everything |= saved
        all_on_shore(everything, server, phone)


def test_a_file_locked_by_a_long_write_keeps_the_dives_on_the_phone_until_it_is_free(
    phone: BoatPhone, server: FaultyServer
) -> None:
    server.again(busy_ms=100)
    with closing(sqlite3.connect(server.data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        saved = save(phone, *dives(2))
        phone.says("2 saved here, not sent yet. The server is busy. They will be sent later.")
        nothing_lost(saved, server, phone)
    phone.page.clock.fast_forward(60_000)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_a_full_disk_on_the_server_keeps_the_dives_on_the_phone_until_there_is_room(
    phone: BoatPhone, server: FaultyServer
) -> None:
    phone.context.set_offline(True)
    saved = pour(phone, dives(60, note="n" * 1800))
    server.again(file_bytes=40_000)
    phone.context.set_offline(False)
    phone.says("60 saved here, not sent yet. The server is busy. They will be sent later.")
    nothing_lost(saved, server, phone)
    assert len(phone.kept("outbox")) == 60

    server.again()
    phone.page.clock.fast_forward(60_000)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_every_request_delivered_three_times_from_two_tabs_leaves_one_of_each(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.always = DUP
    other = BoatPhone(phone.context, chaos)  # type: ignore[arg-type]
    other.page = phone.context.new_page()
    other.open("/boat/log")
    saved = {}
    for at, fields in enumerate(dives(6)):
        saved |= save((phone, other)[at % 2], fields)
    phone.sent()
    all_on_shore(saved, server, phone)


def test_a_server_that_asks_to_wait_is_left_alone_until_then_and_nothing_is_dropped(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    chaos.next(ours(429, "too_often", "Wait.", "Retry-After: 120"))
    saved = save(phone, *dives(1))
    phone.says("1 saved here, not sent yet. The server is busy.")
    asked = len(chaos.seen)
    saved |= save(phone, *dives(1, at="10:00"))
    phone.page.clock.fast_forward(60_000)
    send_now(phone)
    assert len(chaos.seen) == asked

    phone.page.clock.fast_forward(120_000)
    phone.sent()
    all_on_shore(saved, server, phone)


def health(server: FaultyServer) -> tuple[int, object]:
    """Return the status of the health check, and why a write would not work."""
    with closing(HTTPConnection("127.0.0.1", server.port, timeout=20)) as connection:
        connection.request("GET", "/healthz")
        answer = connection.getresponse()
        return answer.status, json.load(answer).get("why")


def test_the_health_check_says_whether_a_write_would_work(server: FaultyServer) -> None:
    assert health(server) == (200, None)
    with closing(sqlite3.connect(server.data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert health(server) == (503, "locked")
    server.again(file_bytes=40_000)
    assert health(server) == (503, "full")
    server.again()
    assert health(server) == (200, None)
    server.data.unlink()
    assert health(server) == (503, "missing")
