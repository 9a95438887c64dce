"""A phone whose storage went back in time: the same device with counters that the server has seen from it before."""

import copy
from collections.abc import Callable
from typing import Any

import pytest
from support.phones import DIVE, OlderApp, Phone

from webapp.actions import histories
from webapp.store.values import User

Send = Callable[..., dict[str, Any]]


both_apps = pytest.mark.parametrize("app", [Phone, OlderApp])


def gone_back(send: Send, *notes: str, app: type[Phone] = Phone) -> tuple[Phone, str]:
    """Return a phone as it was after its first dive, though it has written these notes into the dive since then."""
    phone = app()
    record = phone.put()
    send(phone)
    earlier = copy.deepcopy(phone)
    for note in notes:
        phone.put(record, {"note": note})
        send(phone)
    return earlier, record


def notes(runa: User, record: str) -> list[tuple[str, tuple[str, ...]]]:
    """Return the notes that the history of a dive names, with what each of them lost to a later one."""
    steps = histories.history(runa.id, record)
    return [(step.entry.after["note"], step.lost) for step in steps if step.entry.after.get("note")]


@both_apps
def test_an_edit_made_after_the_phone_has_read_what_it_had_forgotten_is_applied_and_in_the_history(
    app: type[Phone], send: Send, runa: User
) -> None:
    phone, record = gone_back(send, "first", "second", app=app)
    send(phone)
    phone.put(record, {"note": "after the way back"})

    (result,) = send(phone)["results"]

    assert (result["status"], result["rev"], result["conflict"]) == ("stored", 4, [])
    assert phone.shows()[record]["note"] == "after the way back"
    assert notes(runa, record) == [("first", ()), ("second", ()), ("after the way back", ())]


@both_apps
def test_a_deletion_made_after_the_phone_has_read_what_it_had_forgotten_is_applied(
    app: type[Phone], send: Send
) -> None:
    phone, record = gone_back(send, "first", "second", app=app)
    send(phone)
    phone.delete(record)

    send(phone)

    assert phone.shows() == {}


def test_an_edit_made_before_the_phone_has_read_what_it_had_forgotten_shows_and_the_other_is_in_the_history(
    send: Send, runa: User
) -> None:
    phone, record = gone_back(send, "first", "second")
    phone.put(record, {"note": "without signal"})

    (result,) = send(phone)["results"]

    assert result["conflict"] == ["note"]
    assert phone.shows()[record]["note"] == "without signal"
    assert notes(runa, record) == [("first", ()), ("second", ("note",)), ("without signal", ())]


def test_a_deletion_made_before_it_gives_way_to_the_edit_that_the_phone_had_forgotten_and_says_so(send: Send) -> None:
    phone, record = gone_back(send, "first")
    phone.delete(record)

    (result,) = send(phone)["results"]

    assert result["conflict"] == ["deleted"]
    assert phone.shows()[record]["note"] == "first"


def test_what_it_had_already_sent_stays_a_repeat_and_no_dive_is_there_twice(send: Send, runa: User) -> None:
    phone = Phone()
    record = phone.put()
    earlier = copy.deepcopy(phone)  # its outbox still has the dive
    send(phone)
    phone.put(record, {"note": "since then"})
    send(phone)

    answer = send(earlier)

    assert [(one["status"], one["rev"]) for one in answer["results"]] == [("stored", 1)]
    assert earlier.shows() == {record: {**DIVE, "note": "since then"}}
    assert len(histories.history(runa.id, record)) == 2


def test_the_answer_names_the_highest_counter_of_the_device_and_a_new_device_has_none(send: Send) -> None:
    phone, _ = gone_back(send, "first", "second")

    assert send(phone, operations=[])["counter"] == 3
    assert send(Phone(), operations=[])["counter"] == 0


def test_several_edits_that_wait_on_such_a_phone_end_in_its_own_order_without_contradicting_each_other(
    send: Send, runa: User
) -> None:
    phone, record = gone_back(send, "first", "second")
    for note in ("third", "fourth", "fifth"):
        phone.put(record, {"note": note})

    answer = send(phone)

    assert [one["conflict"] for one in answer["results"]] == [["note"], [], []]
    assert phone.shows()[record]["note"] == "fifth"
