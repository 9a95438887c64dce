"""An answer does not repeat what the phone has just sent, when the phone's own copy is what the server has stored."""

from collections.abc import Callable
from typing import Any

import pytest
from support.phones import DIVE, NOW, Phone

from webapp.actions import sync
from webapp.store.values import User

Send = Callable[..., dict[str, Any]]


@pytest.fixture
def exchange(runa: User) -> Send:
    """Let a phone whose app keeps its own copy sync once, and take the answer in."""

    def once(phone: Phone, **changes: Any) -> dict[str, Any]:
        answer = sync.sync(runa.id, phone.request(**changes), NOW, keeps_own=True)
        phone.take(answer)
        return answer

    return once


def own(answer: dict[str, Any]) -> list[bool]:
    """Return which of the results say that the record is as sent."""
    return ["as_sent" in result for result in answer["results"]]


def test_a_dive_stored_as_sent_is_named_with_its_rev_and_does_not_come_again(exchange: Send) -> None:
    phone, reader = Phone(), Phone()
    record = phone.put()

    answer = exchange(phone)

    assert (own(answer), answer["results"][0]["rev"], answer["changes"], answer["mark"]) == ([True], 1, [], 1)
    assert exchange(phone)["changes"] == []
    assert phone.shows() == {record: DIVE}
    exchange(reader)
    assert reader.shows() == phone.shows()


def test_what_others_wrote_comes_with_the_answer_to_own_dives(exchange: Send) -> None:
    phone, other = Phone(), Phone()
    theirs = other.put(fields={**DIVE, "note": "theirs"})
    exchange(other)
    mine = phone.put()

    answer = exchange(phone)

    assert (own(answer), [one["record"] for one in answer["changes"]]) == ([True], [theirs])
    assert set(phone.shows()) == {mine, theirs}
    exchange(other)
    assert other.shows() == phone.shows()


def test_edits_and_deletions_on_top_of_what_was_read_do_not_come_again_either(exchange: Send) -> None:
    phone, reader = Phone(), Phone()
    edited, deleted, back = phone.put(), phone.put(), phone.put()
    exchange(phone)
    phone.put(edited, {"note": "first"})
    phone.put(edited, {"effort": 6})
    phone.delete(deleted)
    phone.delete(back)
    phone.put(back, {})

    answer = exchange(phone)

    assert (own(answer), answer["changes"]) == ([True] * 5, [])
    exchange(reader)
    assert reader.shows() == phone.shows()
    assert {name: one["rev"] for name, one in reader.known.items()} == {
        name: one["rev"] for name, one in phone.known.items()
    }


def test_a_hundred_new_dives_are_answered_without_one_of_them(exchange: Send) -> None:
    phone = Phone()
    for _ in range(100):
        phone.put()

    assert exchange(phone)["changes"] == []


def test_an_app_that_does_not_say_so_is_sent_its_own_records_as_ever(send: Send) -> None:
    phone = Phone()
    phone.put()

    answer = send(phone)

    assert (own(answer), len(answer["changes"])) == ([False], 1)


def test_what_another_device_changed_meanwhile_comes_as_a_change(exchange: Send) -> None:
    phone, tablet = Phone(), Phone()
    record = phone.put()
    exchange(phone)
    exchange(tablet)
    tablet.put(record, {"effort": 7})
    exchange(tablet)
    phone.put(record, {"note": "cold"})

    answer = exchange(phone)

    assert (own(answer), len(answer["changes"])) == ([False], 1)
    assert (phone.shows()[record]["effort"], phone.shows()[record]["note"]) == (7, "cold")


def test_what_the_check_made_of_a_dive_comes_as_a_change(exchange: Send) -> None:
    phone = Phone()
    record = phone.put(fields={**DIVE, "reached_m": 37.456})

    answer = exchange(phone)

    assert (own(answer), len(answer["changes"])) == ([False], 1)
    assert phone.shows()[record]["reached_m"] == 37.46


def test_an_answer_that_was_lost_brings_the_record_with_the_repeat(exchange: Send, runa: User) -> None:
    phone = Phone()
    record = phone.put()
    sync.sync(runa.id, phone.request(), NOW, keeps_own=True)
    phone.put(record, {"note": "meanwhile"})

    answer = exchange(phone)

    assert (own(answer), len(answer["changes"])) == ([False, False], 1)
    assert phone.shows()[record]["note"] == "meanwhile"


def test_a_refused_edit_beside_a_stored_one_leaves_the_record_as_the_server_has_it(exchange: Send) -> None:
    phone, reader = Phone(), Phone()
    record = phone.put()
    phone.put(record, {"discipline": "odd"})
    phone.put(record, {"note": "good"})

    assert own(exchange(phone)) == [True, False, True]

    exchange(reader)
    assert reader.shows() == phone.shows()
