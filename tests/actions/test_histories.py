"""What a record went through: who changed what, when, and what gave way."""

from typing import Any

import pytest
from support.phones import DIVE, Phone, new_id

from webapp import store
from webapp.actions import histories
from webapp.store import users
from webapp.store.values import User


@pytest.fixture
def two(send: Any) -> tuple[Phone, Phone, str]:
    """Two phones that both know the same dive."""
    boat, home = Phone(), Phone()
    record = boat.put()
    send(boat)
    send(home)
    return boat, home, record


def test_each_step_tells_which_device_changed_what_from_what(runa: User, send: Any, two: Any) -> None:
    boat, home, record = two
    home.put(record, {"note": "cold", "reached_m": 40})
    send(home)

    first, second = histories.history(runa.id, record)

    assert (boat.device, {}, DIVE) == (first.entry.asked.device, first.entry.before, first.entry.after)
    assert home.device == second.entry.asked.device
    assert (second.entry.before, second.entry.after) == (
        {"note": "", "reached_m": 38},
        {"note": "cold", "reached_m": 40},
    )
    assert (second.entry.asked.made_at, second.entry.received_at) == (
        "2031-04-01T10:00:00+02:00",
        "2031-04-01T08:00:00Z",
    )


def test_the_value_that_lost_a_conflict_is_named_and_still_there(runa: User, send: Any, two: Any) -> None:
    boat, home, record = two
    boat.put(record, {"note": "cold", "effort": 5})
    home.put(record, {"note": "warm"})
    send(boat)
    answer = send(home)

    steps = histories.history(runa.id, record)

    assert [result["conflict"] for result in answer["results"]] == [["note"]]
    assert [step.lost for step in steps] == [(), ("note",), ()]
    assert "cold" == steps[1].entry.after["note"] == steps[2].entry.before["note"]
    assert home.shows()[record] == {**DIVE, "note": "warm", "effort": 5}


@pytest.mark.parametrize("delete_first", [True, False])
def test_a_deletion_that_an_edit_beat_is_named_as_the_loser(
    runa: User, send: Any, two: Any, delete_first: bool
) -> None:
    boat, home, record = two
    boat.delete(record)
    home.put(record, {"note": "warm"})
    for phone in (boat, home) if delete_first else (home, boat):
        send(phone)

    lost = {step.entry.asked.action: step.lost for step in histories.history(runa.id, record)[1:]}

    assert lost == {"delete": ("deleted",), "put": ()}


def test_what_was_refused_is_in_the_history_with_its_faults(runa: User, send: Any, two: Any) -> None:
    boat, _, record = two
    boat.put(record, {"effort": 99})
    send(boat)

    last = histories.history(runa.id, record)[-1].entry

    assert (last.status, [fault.field for fault in last.faults], last.after) == ("refused", ["effort"], {})
    assert [boat.refused[0]["op"]] == [last.asked.op]


def test_a_record_of_another_diver_has_no_history_here(runa: User, two: Any) -> None:
    with store.transaction():
        ivo = users.add_user("Ivo", "ivo", "none", "t")

    assert [] == histories.history(ivo.id, two[2]) == histories.history(runa.id, new_id())
