"""A coach with many students: everything comes once, in answers that fit a weak signal."""

from collections import Counter
from typing import Any

from support.phones import DIVE, NOW, SEASON, Phone, operation

from webapp import store
from webapp.actions import access, seasons, sync
from webapp.store import feeds, users
from webapp.store.values import User

RECORDS, PAGE, MOST_BATCH = 2_000, 500, 100


def student(number: int, coach: User, dives: int) -> User:
    """A diver whose log the coach may read."""
    with store.transaction():
        user = users.add_user(f"Diver {number}", f"diver {number}", "none", "2031-04-01T08:00:00Z")
        feeds.put_member(feeds.log_feed(user.id), coach.id, access.whole({"log"}), "2031-04-01T08:00:00Z")
    for first in range(0, dives, MOST_BATCH):
        batch = [operation(counter=first + at) for at in range(min(MOST_BATCH, dives - first))]
        sync.sync(user.id, Phone().request(operations=batch), NOW)
    return user


def ask(coach: User, phone: Phone, marks: dict[str, int]) -> list[dict[str, Any]]:
    """Ask once for what is new after these marks, and move them on."""
    read = [{"feed": feed, "mark": mark, "sheet": None} for feed, mark in marks.items()]
    answer = sync.sync(coach.id, phone.request(feeds=read), NOW)
    phone.epoch = answer["epoch"]
    marks.update({feed["feed"]: feed["mark"] for feed in answer["feeds"]})
    found: list[dict[str, Any]] = answer["feeds"]
    return found


def test_two_thousand_records_of_students_come_page_by_page_each_once_and_a_dive_made_meanwhile_too(
    runa: User,
) -> None:
    students = [student(at, runa, dives) for at, dives in enumerate((1_100, 3, 0, 500, 397))]
    phone, marks, seen, sizes = Phone(), dict[str, int](), Counter[str](), []
    while True:
        answer = ask(runa, phone, marks)
        found = [change["record"] for feed in answer for change in feed["changes"]]
        sizes.append(len(found))
        seen.update(found)
        if len(sizes) == 1:
            late = operation(counter=9)
            sync.sync(students[0].id, Phone().request(operations=[late]), NOW)
        if not any(feed["more"] for feed in answer):
            break

    assert sizes == [PAGE, PAGE, PAGE, PAGE, 1]
    assert len(seen) == RECORDS + 1
    assert set(seen.values()) == {1}
    assert late["record"] in seen


def test_a_coach_who_has_the_sheets_gets_the_dives_of_the_day_alone(runa: User) -> None:
    """What comes on a weak signal is what the students did, and no sheet that the phone has."""
    pair = [student(at, runa, 9) for at in range(2)]
    for one in pair:
        seasons.save_season(one.id, None, "Spring", dict(SEASON), NOW)
    phone = Phone()
    first = sync.sync(runa.id, phone.request(feeds=[]), NOW)
    phone.epoch = first["epoch"]
    read = [
        {"feed": feed["feed"], "mark": feed["mark"], "sheet": feed["snapshot"]["sheet_id"]} for feed in first["feeds"]
    ]
    for one in pair:
        sync.sync(one.id, Phone().request(operations=[operation(fields={**DIVE, "dive_s": 90})]), NOW)
    again = sync.sync(runa.id, phone.request(feeds=read), NOW)["feeds"]

    assert [len(feed["changes"]) for feed in again] == [1, 1]
    assert all("sheet" not in feed["snapshot"] for feed in again)
