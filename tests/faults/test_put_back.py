"""An older data file in the server's place, without `restore`: every phone notices and offers what it lacks."""

from __future__ import annotations

import shutil
from pathlib import Path

from support.boat import BoatPhone
from support.faulty import FaultyServer, NewPhone, dives, nothing_lost, save, send_now, until


def settled(phone: BoatPhone, server: FaultyServer) -> None:
    """Wait until the phone follows the server's epoch and nothing waits."""
    ((epoch,),) = server.ask("select value from meta where name = 'epoch'")
    feed = "import('/static/js/store/db.js').then((db) => db.getKept('feed:1'))"

    def done() -> bool:
        kept = phone.page.evaluate(feed)
        return kept["epoch"] == epoch and not kept["offering"] and not phone.kept("outbox")

    until(phone, done)


def test_an_older_file_put_in_the_servers_place_gets_back_what_two_phones_know(
    new_phone: NewPhone, server: FaultyServer, tmp_path: Path
) -> None:
    phone, tablet = new_phone(), new_phone()
    saved = save(phone, *dives(3))
    phone.sent()
    server.stop()
    shutil.copytree(server.data.parent, tmp_path / "older")
    server.start()
    saved |= save(phone, *dives(5, discipline="FIM"))
    phone.sent()
    ((before,),) = server.ask("select value from meta where name = 'epoch'")
    server.stop()
    for part in server.data.parent.glob(f"{server.data.name}*"):
        part.unlink()
    for part in (tmp_path / "older").glob(f"{server.data.name}*"):
        shutil.copy(part, server.data.parent / part.name)
    server.start()
    assert len(saved.keys() & server.records().keys()) == 3

    send_now(phone)
    until(phone, lambda: server.ask("select value from meta where name = 'epoch'") != [(before,)])
    settled(phone, server)
    nothing_lost(saved, server)
    assert saved.keys() <= server.records().keys()

    send_now(tablet)
    settled(tablet, server)
    assert saved.keys() <= {row["record"] for row in tablet.kept("records")}
