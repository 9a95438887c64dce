"""Who may do what with a feed: a table of every role and right, through the one exchange that phones have."""

import json
from typing import Any

import pytest
from support.phones import DIVE, NOW, SEASON, TODAY, Phone, new_id, operation

from webapp import store
from webapp.actions import access, histories, seasons, sync
from webapp.actions.errors import NotFound
from webapp.protocol.kinds import KINDS
from webapp.rulebook.faults import Refused
from webapp.store import feeds, users
from webapp.store.values import User

MORNING = {"date": TODAY, "sleep": 2, "fatigue": 6, "note": "swell from the east", "body_note": "day 2"}
# rights -> (kinds that come, may log a dive, gets the plan)
ROLES: dict[str, tuple[set[str], set[str], bool, bool]] = {
    "a stranger": (set(), set(), False, False),
    "a buddy": ({"list"}, set(), False, False),
    "a coach": ({"log"}, {"dive", "day", "site"}, False, True),
    "a coach who may log": ({"log", "write"}, {"dive", "day", "site"}, True, True),
    "a line keeper who may log": ({"write"}, set(), True, False),
}


@pytest.fixture
def odd(runa: User) -> User:
    """Another diver."""
    with store.transaction():
        return users.add_user("Odd", "odd", "none", "2031-04-01T08:00:00Z")


@pytest.fixture
def log(runa: User) -> str:
    """The name of the log of the first diver, who has a season, a dive and a word for a morning."""
    seasons.save_season(runa.id, None, "Spring", dict(SEASON), NOW)
    phone = Phone()
    phone.put()
    phone.outbox.append(operation(kind="day", fields=MORNING, counter=2))
    sync.sync(runa.id, phone.request(), NOW)
    return name_of(runa)


def name_of(diver: User) -> str:
    with store.reading():
        rows = store.sqlite.database.execute("SELECT name FROM feed WHERE owner_id = ?", (diver.id,))
        return str(rows.fetchone()[0])


def give(owner: User, other: User, *rights: str) -> None:
    with store.transaction():
        feeds.put_member(feeds.log_feed(owner.id), other.id, access.whole(rights), "2031-04-01T08:00:00Z")


def end(owner: User, other: User) -> None:
    with store.transaction():
        assert feeds.remove_member(feeds.log_feed(owner.id), other.id)


def ask(diver: User, phone: Phone | None = None, **changes: Any) -> dict[str, Any]:
    return sync.sync(diver.id, (phone or Phone()).request(**{"feeds": [], **changes}), NOW)


@pytest.mark.parametrize("role", ROLES)
def test_each_role_reads_and_writes_what_its_rights_say_and_nothing_else(
    role: str, runa: User, odd: User, log: str
) -> None:
    rights, kinds, may_log, has_plan = ROLES[role]
    if rights:
        give(runa, odd, *rights)
    dive = operation(feed=log, counter=1, fields={**DIVE, "note": "logged from the boat"})
    focus = operation(feed=log, counter=2, kind="clearance", fields={"clearance": TODAY, "by": "Dr. N", "note": ""})
    answer = ask(odd, operations=[dive, focus])
    said = {one["op"]: (one["status"], [fault["field"] for fault in one["faults"]]) for one in answer["results"]}
    found = answer["feeds"]

    assert {change["kind"] for feed in found for change in feed["changes"]} == kinds
    assert said[dive["op"]] == (("stored", []) if may_log else ("refused", ["kind" if rights else "feed"]))
    assert said[focus["op"]][0] == "refused"
    assert [bool(feed.get("snapshot")) for feed in found] == ([has_plan] if rights else [])
    assert [(feed["feed"], feed["name"], set(feed["rights"])) for feed in found] == (
        [(log, "Runa", access.whole(rights))] if rights else []
    )
    assert answer["changes"] == []  # nothing of this is in the own log
    listed = [feed["list"]["days"] for feed in found if "list" in feed]
    assert [days[0]["date"] for days in listed] == ([] if has_plan or not rights else [TODAY])
    assert not [word for word in ("signs", "verdict", "effort", "note") if word in json.dumps(listed)]


def test_what_a_kind_calls_private_never_leaves_its_diver(runa: User, odd: User, log: str) -> None:
    give(runa, odd, "log", "propose", "write")
    (feed,) = ask(odd)["feeds"]
    (day,) = [change["fields"] for change in feed["changes"] if change["kind"] == "day"]

    assert day["note"] == "swell from the east"
    assert not {"sleep", "fatigue", "body_note"} & set(day)
    own = [change["fields"] for change in ask(runa)["changes"] if change["kind"] == "day"]
    assert [(one["sleep"], one["body_note"]) for one in own] == [(2, "day 2")]


def test_a_record_of_a_crew_is_refused_in_a_log_even_when_it_is_only_deleted(runa: User, log: str) -> None:
    guest = operation(kind="guest", fields={"name": "Ebba"}, counter=7)
    gone = operation(kind="guest", fields={}, action="delete", counter=8)
    answer = ask(runa, operations=[guest, gone])
    assert [(one["status"], [f["field"] for f in one["faults"]]) for one in answer["results"]] == [
        ("refused", ["kind"])
    ] * 2
    assert "guest" not in {record["kind"] for record in seasons.log_of(runa.id)}


def test_every_private_field_is_a_field_of_its_kind() -> None:
    for kind in KINDS.values():
        assert kind.private <= set(kind.fields)


def test_a_dive_logged_for_another_is_in_that_divers_log_and_history_and_counts_for_nobody_else(
    runa: User, odd: User, log: str
) -> None:
    give(runa, odd, "write")
    dive = operation(feed=log, counter=1)
    ask(odd, operations=[dive])
    ask(odd, operations=[dive])  # the answer was lost

    assert dive["record"] in {record["id"] for record in seasons.log_of(runa.id)}
    assert seasons.log_of(odd.id) == []
    assert len(histories.history(runa.id, dive["record"])) == 1
    assert histories.history(odd.id, dive["record"]) == []
    with store.reading():
        author = "SELECT author_id FROM journal WHERE op = ?"
        assert store.sqlite.database.execute(author, (dive["op"],)).fetchone() == (odd.id,)


def test_who_may_log_for_another_changes_and_deletes_only_what_they_logged_themselves(
    runa: User, odd: User, log: str
) -> None:
    give(runa, odd, "log", "write")
    (own,) = [record["id"] for record in seasons.log_of(runa.id) if record["kind"] == "dive"]
    mine = operation(feed=log, counter=1)
    ask(odd, operations=[mine, operation(mine["record"], feed=log, counter=2, base=1, fields={"note": "with a turn"})])
    later = [
        operation(own, feed=log, counter=3, base=1, fields={"reached_m": 20}),
        operation(own, feed=log, counter=4, base=1, action="delete", fields={}),
        operation(mine["record"], feed=log, counter=5, base=2, action="delete", fields={}),
    ]
    answer = ask(odd, operations=later)
    said = {one["op"]: (one["status"], [fault["field"] for fault in one["faults"]]) for one in answer["results"]}

    assert [said[one["op"]] for one in later] == [
        ("refused", ["record"]), ("refused", ["record"]), ("stored", []),
    ]  # fmt: skip
    assert {
        record["id"]: record.get("reached_m") for record in seasons.log_of(runa.id) if record["kind"] == "dive"
    } == {own: DIVE["reached_m"]}


def test_after_consent_ends_nothing_is_told_and_what_waits_is_refused_with_the_reason(
    runa: User, odd: User, log: str
) -> None:
    give(runa, odd, "log", "write")
    phone = Phone()
    (feed,) = ask(odd, phone)["feeds"]
    end(runa, odd)
    answer = ask(
        odd, phone, feeds=[{"feed": log, "mark": feed["mark"], "sheet": None}], operations=[operation(feed=log)]
    )

    assert answer["feeds"] == []  # the phone drops what is not named
    assert [(one["status"], one["faults"]) for one in answer["results"]] == [
        ("refused", [{"field": "feed", "says": "is not open to you any more: ask the diver or the crew whose it is"}])
    ]
    with store.reading(), pytest.raises(NotFound):
        access.granted(odd.id, log)


def test_only_what_is_new_comes_again_and_the_sheet_only_when_it_changed(runa: User, odd: User, log: str) -> None:
    give(runa, odd, "log")
    phone = Phone()
    first = ask(odd, phone)
    phone.epoch = first["epoch"]
    (feed,) = first["feeds"]
    read = {"feed": log, "mark": feed["mark"], "sheet": feed["snapshot"]["sheet_id"]}
    (again,) = ask(odd, phone, feeds=[read])["feeds"]
    assert (again["changes"], "sheet" in again["snapshot"]) == ([], False)

    later = operation(counter=3)
    sync.sync(runa.id, Phone().request(operations=[later]), NOW)
    (news,) = ask(odd, phone, feeds=[read])["feeds"]
    assert [change["record"] for change in news["changes"]] == [later["record"]]
    (unread,) = ask(odd, phone, feeds=[{**read, "mark": news["mark"] + 40}])["feeds"]
    assert len(unread["changes"]) == 4  # a mark that this feed never had: read it from the beginning


def test_an_app_that_knows_of_no_feeds_is_answered_as_ever(runa: User, odd: User, log: str) -> None:
    give(runa, odd, "log")
    assert "feeds" not in sync.sync(odd.id, Phone().request(), NOW)


def test_a_coach_of_many_reads_all_in_pages_without_a_gap(runa: User, odd: User) -> None:
    students = []
    for at in range(3):
        with store.transaction():
            students.append(users.add_user(f"Diver {at}", f"diver {at}", "none", "2031-04-01T08:00:00Z"))
        give(students[-1], odd, "log")
        for _ in range(3):
            sync.sync(students[-1].id, Phone().request(operations=[operation(counter=n) for n in range(100)]), NOW)
    phone, seen, marks = Phone(), set[str](), dict[str, int]()
    phone.epoch = ask(odd, phone)["epoch"]
    for _ in range(4):
        read = [{"feed": feed, "mark": mark, "sheet": None} for feed, mark in marks.items()]
        answer = ask(odd, phone, feeds=read)
        assert sum(len(feed["changes"]) for feed in answer["feeds"]) <= 500
        for feed in answer["feeds"]:
            marks[feed["feed"]] = feed["mark"]
            seen |= {change["record"] for change in feed["changes"]}
    assert len(seen) == 900
    assert not any(feed["more"] for feed in answer["feeds"])


def test_two_logs_may_hold_the_same_record_and_operation_and_keep_both(runa: User, odd: User, log: str) -> None:
    give(runa, odd, "write")
    twice = operation(counter=1)
    answer = ask(odd, operations=[twice, {**twice, "feed": log, "counter": 2}])

    assert [one["status"] for one in answer["results"]] == ["stored", "stored"]
    assert twice["record"] in {record["id"] for record in seasons.log_of(runa.id)}
    assert twice["record"] in {record["id"] for record in seasons.log_of(odd.id)}


def test_a_student_who_deletes_the_account_is_gone_and_a_coach_who_does_leaves_the_dives(
    runa: User, odd: User, log: str
) -> None:
    give(runa, odd, "log", "write")
    give(odd, runa, "log")
    dive = operation(feed=log, counter=1)
    ask(odd, operations=[dive])
    with store.transaction():
        users.delete_user(odd.id)

    assert dive["record"] in {record["id"] for record in seasons.log_of(runa.id)}
    assert ask(runa)["feeds"] == []
    assert len(histories.history(runa.id, dive["record"])) == 1


@pytest.mark.parametrize(
    ("bad", "field"),
    [
        ("all", "feeds"),
        ([{"feed": new_id(), "mark": 0, "sheet": None}] * 61, "feeds"),
        (["a name"], "feeds.0"),
        ([{"feed": "a name", "mark": 0, "sheet": None}], "feeds.0.feed"),
        ([{"feed": new_id(), "mark": -1, "sheet": None}], "feeds.0.mark"),
        ([{"feed": new_id(), "mark": 0, "sheet": 7}], "feeds.0.sheet"),
        ([{"feed": new_id(), "mark": 0, "sheet": None, "all": True}], "feeds.0.all"),
    ],
)
def test_a_list_of_feeds_that_makes_no_sense_is_refused_with_its_place(bad: Any, field: str, runa: User) -> None:
    with pytest.raises(Refused) as found:
        ask(runa, feeds=bad)
    assert [fault.field for fault in found.value.faults] == [field]


def test_an_operation_on_a_feed_by_no_uuid_is_refused_and_delays_nothing(runa: User) -> None:
    good = operation(counter=2)
    answer = ask(runa, operations=[operation(feed="mine", counter=1), good])
    assert [(one["status"], [f["field"] for f in one["faults"]]) for one in answer["results"]] == [
        ("refused", ["feed"]), ("stored", []),
    ]  # fmt: skip


def test_an_operation_on_the_own_log_by_its_name_is_like_any_other(runa: User, log: str) -> None:
    one = operation(feed=log, counter=9)
    assert [each["status"] for each in ask(runa, operations=[one])["results"]] == ["stored"]


def test_rights_come_with_those_that_they_need_and_nothing_else_is_a_right() -> None:
    assert access.whole(["propose", "owner"]) == {"propose", "log", "list"}
    assert access.whole([]) == frozenset()
