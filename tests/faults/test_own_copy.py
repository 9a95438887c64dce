"""What a phone has just sent is not sent back to it: it knows by its own copy what the server has."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Response
from support.boat import BoatPhone
from support.faulty import FaultyServer, NewPhone, dives, pour, save, send_now, until


def test_a_hundred_dives_go_out_without_coming_back_and_every_phone_knows_them(
    new_phone: NewPhone, server: FaultyServer
) -> None:
    phone, tablet = new_phone(), new_phone()
    answers: list[Response] = []
    phone.page.on("response", lambda one: answers.append(one) if one.url.endswith("/sync") else None)
    phone.context.set_offline(True)
    saved = pour(phone, dives(100))
    (edited, *_) = saved
    save(phone, {"effort": 6}, record=edited)
    saved[edited] = {**saved[edited], "effort": 6}
    phone.context.set_offline(False)
    send_now(phone)
    phone.sent()

    bodies: list[dict[str, Any]] = [one.json() for one in answers]
    came = [change["record"] for body in bodies for change in body["changes"]]
    assert [record for record in came if record != edited and record in saved] == []
    assert sum(len(body["results"]) for body in bodies) == 101
    rows = known(phone)
    assert {name: rows[name]["fields"] for name in saved} == saved
    assert {rows[name]["rev"] for name in saved if name != edited} == {1}
    all_on_shore_as_saved(saved, server)

    send_now(tablet)
    until(tablet, lambda: saved.keys() <= known(tablet).keys())
    there = known(tablet)
    assert {name: there[name] for name in saved} == {name: rows[name] for name in saved}


def known(phone: BoatPhone) -> dict[str, dict[str, Any]]:
    """Return what a phone knows that the server has, by record."""
    return {row["record"]: row["known"] for row in phone.kept("records") if row["known"]}


def all_on_shore_as_saved(saved: dict[str, dict[str, Any]], server: FaultyServer) -> None:
    """Check that every dive is on the server as it was saved."""
    stored = server.records()
    assert {name: {**fields, "deleted": False} for name, fields in saved.items()} == {
        name: stored[name] for name in saved
    }
