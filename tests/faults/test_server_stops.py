"""The server is told to stop: answers under way arrive, and the data file is left whole."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from http.client import HTTPConnection

from support.boat import BoatPhone
from support.chaos import Chaos
from support.faulty import FaultyServer, all_on_shore, dives, save, until


def is_up(server: FaultyServer) -> None:
    """Ask for something that needs no right to write: what was asked before has been taken up by then."""
    with closing(HTTPConnection("127.0.0.1", server.port, timeout=20)) as connection:
        connection.request("GET", "/account/sign-in")
        assert connection.getresponse().status == 200


def wait_for_the_file(phone: BoatPhone, chaos: Chaos, server: FaultyServer, count: int) -> dict[str, dict[str, object]]:
    """Save dives that reach the server, where they wait for the right to write."""
    seen = len(chaos.seen)
    saved = save(phone, *dives(count))
    until(phone, lambda: any(one.operations for one in chaos.seen[seen:]))
    is_up(server)
    return saved


def test_a_server_told_to_stop_ends_the_answer_under_way_and_leaves_everything_in_its_file(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    with closing(sqlite3.connect(server.data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        saved = wait_for_the_file(phone, chaos, server, 1)
        server.process.terminate()
        other.execute("ROLLBACK")
    phone.sent()

    assert server.ended() == 0
    assert not server.data.with_name(f"{server.data.name}-wal").exists()
    server.again()
    all_on_shore(saved, server, phone)


def test_an_answer_that_does_not_end_holds_a_server_up_no_longer_than_it_may(
    phone: BoatPhone, chaos: Chaos, server: FaultyServer
) -> None:
    server.again(busy_ms=60_000, grace_s=0.5)
    with closing(sqlite3.connect(server.data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        saved = wait_for_the_file(phone, chaos, server, 1)
        begun = time.monotonic()
        server.process.terminate()
        server.ended()
        assert time.monotonic() - begun < 30
    assert len(phone.kept("outbox")) == 1

    server.again()
    phone.page.clock.fast_forward(60_000)
    phone.sent()
    all_on_shore(saved, server, phone)
