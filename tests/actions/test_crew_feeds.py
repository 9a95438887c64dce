"""Crews and coaches in the one exchange that phones have: who is in a list, who writes what, and who signs it."""

import json
from typing import Any

import pytest
from support.phones import DIVE, NOW, TODAY, Phone, operation

from webapp import store
from webapp.actions import access, bringing, histories, seasons, sync
from webapp.protocol.kinds import CREW
from webapp.store import feeds, journal, users
from webapp.store.values import User

AT = "2031-04-01T08:00:00Z"
GUEST = {"name": "Ebba", "may_meet_m": 20, "note": ""}
CAP = {"date": TODAY, "to": None, "what": "cap", "discipline": "FIM", "depth_m": 30, "says": "after a long week"}


def diver(name: str) -> User:
    with store.transaction():
        return users.add_user(name, name.casefold(), "none", AT)


@pytest.fixture
def odd(runa: User) -> User:
    return diver("Odd")


@pytest.fixture
def ilka(runa: User) -> User:
    return diver("Ilka")


@pytest.fixture
def crew(runa: User, odd: User) -> str:
    """The name of a crew of two, which the first diver has made."""
    with store.transaction():
        made = feeds.add_feed(CREW, runa.id, AT, "Skarn boat")
        feeds.put_member(made.id, odd.id, access.OF_CREW, AT)
    return made.name


def person(user: User) -> str:
    with store.reading():
        return feeds.person_of(user.id).person


def give(owner: User, other: User, *rights: str) -> str:
    with store.transaction():
        feeds.put_member(feeds.log_feed(owner.id), other.id, access.whole(rights), AT)
    return person(owner)


def ask(user: User, phone: Phone | None = None, **changes: Any) -> dict[str, Any]:
    return sync.sync(user.id, (phone or Phone()).request(**{"feeds": [], **changes}), NOW)


def said(answer: dict[str, Any]) -> list[tuple[str, list[str]]]:
    return [(one["status"], [fault["field"] for fault in one["faults"]]) for one in answer["results"]]


def log_of(user: User, kind: str) -> list[dict[str, Any]]:
    return [record for record in seasons.log_of(user.id) if record["kind"] == kind]


def test_owner_and_member_are_told_of_their_crew_with_everybody_in_it_and_nobody_else_is(
    runa: User, odd: User, ilka: User, crew: str
) -> None:
    members = [{"person": person(runa), "name": "Runa"}, {"person": person(odd), "name": "Odd"}]
    for user in (runa, odd):
        answer = ask(user)
        (feed,) = answer["feeds"]
        assert answer["person"] == person(user)
        assert (feed["feed"], feed["kind"], feed["name"], feed["rights"]) == (crew, "crew", "Skarn boat", ["crew"])
        assert (feed["own"], feed["members"], "snapshot" in feed) == (user is runa, members, False)
    assert ask(ilka)["feeds"] == []


def test_what_one_member_writes_in_the_list_every_other_reads_and_changes(runa: User, odd: User, crew: str) -> None:
    guest = operation(feed=crew, kind="guest", fields=GUEST, counter=1)
    assert said(ask(odd, operations=[guest])) == [("stored", [])]
    edit = operation(guest["record"], feed=crew, kind="guest", fields={"may_meet_m": 25}, base=1, counter=1)
    answer = ask(runa, operations=[edit])

    assert said(answer) == [("stored", [])]
    (change,) = answer["feeds"][0]["changes"]
    assert (change["kind"], change["fields"]) == ("guest", {**GUEST, "may_meet_m": 25})
    assert "guest" not in {record["kind"] for user in (runa, odd) for record in seasons.log_of(user.id)}


def test_the_emergency_plan_of_a_site_reaches_every_phone_of_its_crew_and_nobody_else(
    runa: User, odd: User, ilka: User, crew: str
) -> None:
    plan = {"name": "Skarn Wall", "emergency_phone": "112", "chamber_phone": "0555 0199", "oxygen_by": "Runa"}
    assert said(ask(runa, operations=[operation(feed=crew, kind="crew_site", fields=plan, counter=1)])) == [
        ("stored", [])
    ]
    (feed,) = ask(odd)["feeds"]
    (change,) = feed["changes"]
    assert (change["kind"], change["fields"]) == ("crew_site", plan)
    assert ask(ilka)["feeds"] == []
    wrong = operation(feed=crew, kind="crew_site", fields={**plan, "emergency_phone": "112 or 113"}, counter=2)
    assert said(ask(odd, operations=[wrong])) == [("refused", ["emergency_phone"])]
    assert log_of(odd, "site") == []


def test_the_same_guest_written_on_two_phones_without_signal_is_one_guest(runa: User, odd: User, crew: str) -> None:
    one = operation(feed=crew, kind="guest", fields={"name": "Ebba", "may_meet_m": 20}, counter=1)
    other = operation(one["record"], feed=crew, kind="guest", fields={"name": "Ebba", "may_meet_m": 15}, counter=1)
    assert said(ask(odd, operations=[one])) == [("stored", [])]
    answer = ask(runa, operations=[other])

    assert answer["results"][0]["conflict"] == ["may_meet_m"]
    assert [change["fields"] for change in answer["feeds"][0]["changes"]] == [{**GUEST, "may_meet_m": 15}]
    with store.reading():
        feed = feeds.find_feed(crew)
        assert feed is not None
        assert [author for _, author in journal.latest_entries(feed.id, 9)] == [runa.id, odd.id]


def test_a_crew_gives_no_right_on_a_log_and_a_log_none_on_the_list(
    runa: User, odd: User, ilka: User, crew: str
) -> None:
    give(runa, ilka, "log", "write", "propose")
    into_log = operation(feed=person(runa), counter=1)
    into_list = operation(feed=crew, kind="guest", fields=GUEST, counter=1)

    assert said(ask(odd, operations=[into_log])) == [("refused", ["feed"])]
    assert said(ask(ilka, operations=[into_list])) == [("refused", ["feed"])]
    assert [feed["kind"] for feed in ask(ilka)["feeds"]] == ["log"]


def test_a_dive_is_refused_in_the_list_and_a_turn_in_a_log(runa: User, odd: User, crew: str) -> None:
    give(runa, odd, "write")
    dive = operation(feed=crew, counter=1)
    guest = operation(feed=person(runa), kind="guest", fields=GUEST, counter=2)
    assert said(ask(odd, operations=[dive, guest])) == [("refused", ["kind"])] * 2


def test_a_member_who_was_removed_while_offline_is_refused_in_plain_words_and_told_of_no_crew(
    runa: User, odd: User, crew: str
) -> None:
    with store.transaction():
        assert feeds.remove_member(feeds.find_feed(crew).id, odd.id)  # type: ignore[union-attr]
    answer = ask(odd, operations=[operation(feed=crew, kind="guest", fields=GUEST)])

    assert [one["faults"] for one in answer["results"]] == [
        [{"field": "feed", "says": "is not open to you any more: ask the diver or the crew whose it is"}]
    ]
    assert answer["feeds"] == []
    assert [len(feed["changes"]) for feed in ask(runa)["feeds"]] == [0]


def test_a_dive_logged_for_another_says_by_whom_whatever_was_sent(runa: User, odd: User) -> None:
    log = give(runa, odd, "write")
    dive = operation(feed=log, counter=1, fields={**DIVE, "logged_by": "Runa", "confirmed": True})
    assert said(ask(odd, operations=[dive])) == [("stored", [])]
    (logged,) = log_of(runa, "dive")

    assert (logged["logged_by"], "confirmed" in logged) == ("Odd", False)
    assert [step.author for step in histories.history(runa.id, dive["record"])] == ["Odd"]
    with store.transaction():
        users.delete_user(odd.id)
    assert [step.author for step in histories.history(runa.id, dive["record"])] == ["someone who has left"]


NAMED = "6f1c2b1e-0a35-8c11-9d7e-3c5a7b9d1e2f"  # version 8: both phones derive it from the dive of the crew's list
SEEN = {**DIVE, "reached_m": 37, "dive_s": 80, "effort": None, "signs": ["lmc"], "logged_by": "Odd", "confirmed": False}
OWN = {**DIVE, "reached_m": 38, "dive_s": None, "signs": ["urge_on_descent"], "note": "cold"}


@pytest.mark.parametrize("first", ["the diver", "the safety diver"])
def test_a_dive_that_two_phones_log_before_they_meet_is_one_dive_with_what_both_say(
    runa: User, odd: User, first: str
) -> None:
    log = give(runa, odd, "write")
    seen = operation(NAMED, feed=log, fields=SEEN, counter=1)
    own = operation(NAMED, fields=OWN, counter=1)
    sent = [(runa, own), (odd, seen)] if first == "the diver" else [(odd, seen), (runa, own)]
    results = [ask(user, operations=[one])["results"][0] for user, one in sent]
    (dive,) = log_of(runa, "dive")

    assert [one["status"] for one in results] == ["stored"] * 2
    assert (dive["reached_m"], dive["signs"]) == (sent[1][1]["fields"]["reached_m"], ["urge_on_descent", "lmc"])
    assert (dive["dive_s"], dive["effort"], dive["note"]) == (80, 4, "cold")  # each as the one who said it
    assert (dive["logged_by"], dive["confirmed"]) == ("Odd", False)
    assert "reached_m" in results[1]["conflict"]
    history = histories.history(runa.id, NAMED)
    assert {step.author for step in history} == {"", "Odd"}  # the diver and who logged it


def test_the_divers_phone_that_brings_what_another_logged_keeps_every_sign_and_is_answered_as_the_other(
    runa: User, odd: User
) -> None:
    """Without signal a file brought it; both phones send it then, one of them signed by the server."""
    log = give(runa, odd, "write")
    phone = Phone()
    seen = operation(NAMED, fields={**SEEN, "signs": []}, counter=2)
    theirs = {**seen, "feed": log, "counter": 1}
    answers = [
        ask(runa, phone, operations=[operation(NAMED, fields=OWN, counter=1), seen]),
        ask(odd, operations=[theirs]),
    ]
    assert [said(one) for one in answers] == [[("stored", [])] * 2, [("stored", [])]]
    (dive,) = log_of(runa, "dive")
    assert (dive["signs"], dive["reached_m"], dive["logged_by"]) == (["urge_on_descent"], 37, "Odd")

    again = operation(fields={**SEEN, "note": "twice"}, counter=3)
    assert said(ask(odd, operations=[{**again, "feed": log}])) == [("stored", [])]
    assert said(ask(runa, phone, operations=[again])) == [("stored", [])]


def test_logging_a_dive_of_the_list_for_its_diver_is_no_way_to_change_or_bring_back_what_the_diver_wrote(
    runa: User, odd: User
) -> None:
    log = give(runa, odd, "write")
    other = operation(fields=OWN, counter=1)
    ask(runa, operations=[operation(NAMED, fields=OWN, counter=2), other])
    tried = [
        operation(other["record"], feed=log, fields=SEEN, counter=1),  # no dive of a list
        operation(NAMED, feed=log, fields={"reached_m": 12}, base=1, counter=2),
        operation(NAMED, feed=log, action="delete", fields={}, counter=3),
    ]
    assert said(ask(odd, operations=tried)) == [("refused", ["record"])] * 3
    assert said(ask(odd, operations=[operation(NAMED, feed=log, fields=SEEN, counter=4)])) == [("stored", [])]
    later = operation(NAMED, feed=log, action="delete", fields={}, base=2, counter=5)
    assert said(ask(odd, operations=[later])) == [("refused", ["record"])]

    ask(runa, operations=[operation(NAMED, action="delete", fields={}, base=2, counter=3)])
    back = operation(NAMED, feed=log, fields=SEEN, counter=6)
    assert said(ask(odd, operations=[back])) == [("refused", ["record"])]
    assert [dive["id"] for dive in log_of(runa, "dive")] == [other["record"]]


def test_a_dive_that_its_diver_has_looked_at_is_changed_by_nobody_else(runa: User, odd: User) -> None:
    log = give(runa, odd, "write")
    dive = operation(feed=log, counter=1)
    ask(odd, operations=[dive])
    ask(runa, operations=[operation(dive["record"], base=1, fields={"confirmed": True}, counter=1)])
    later = [
        operation(dive["record"], feed=log, base=1, fields={"reached_m": 50}, counter=2),
        operation(dive["record"], feed=log, base=1, action="delete", fields={}, counter=3),
    ]
    assert said(ask(odd, operations=later)) == [("refused", ["record"])] * 2
    assert [one["reached_m"] for one in log_of(runa, "dive")] == [DIVE["reached_m"]]


def test_a_proposal_is_signed_by_the_server_and_answered_by_its_diver_alone(runa: User, odd: User) -> None:
    log = give(runa, odd, "propose")
    cap = operation(feed=log, kind="proposal", fields={**CAP, "by": "Runa", "by_person": person(runa)}, counter=1)
    answered = operation(feed=log, kind="proposal", fields={**CAP, "answer": "accepted"}, counter=2)
    later = operation(cap["record"], feed=log, kind="proposal", fields={"answered_at": AT}, base=1, counter=3)
    assert said(ask(odd, operations=[cap, answered, later])) == [
        ("stored", []), ("refused", ["answer"]), ("refused", ["answer"]),
    ]  # fmt: skip
    assert [(one["by"], one["by_person"], one["answer"]) for one in log_of(runa, "proposal")] == [
        ("Odd", person(odd), None)
    ]

    own = operation(cap["record"], kind="proposal", fields={"answer": "declined", "answered_at": AT}, base=1)
    assert said(ask(runa, operations=[own])) == [("stored", [])]
    deeper = operation(cap["record"], feed=log, kind="proposal", fields={"depth_m": 60}, base=1, counter=4)
    assert said(ask(odd, operations=[deeper])) == [("refused", ["record"])]
    assert [(one["depth_m"], one["answer"]) for one in log_of(runa, "proposal")] == [(30, "declined")]


def test_an_open_proposal_is_taken_back_by_whoever_made_it_and_of_two_coaches_by_no_other(
    runa: User, odd: User, ilka: User
) -> None:
    log = give(runa, odd, "propose")
    give(runa, ilka, "propose")
    cap = operation(feed=log, kind="proposal", fields=CAP, counter=1)
    ask(odd, operations=[cap])
    gone = operation(cap["record"], feed=log, kind="proposal", action="delete", fields={}, base=1, counter=2)

    assert said(ask(ilka, operations=[gone])) == [("refused", ["record"])]
    (feed,) = ask(ilka)["feeds"]
    assert [change["fields"]["by"] for change in feed["changes"] if change["kind"] == "proposal"] == ["Odd"]
    assert said(ask(odd, operations=[gone])) == [("stored", [])]
    assert log_of(runa, "proposal") == []


@pytest.mark.parametrize(("right", "kinds"), [("log", set()), ("write", {"dive"}), ("propose", {"proposal"})])
def test_each_right_is_about_one_kind(runa: User, odd: User, right: str, kinds: set[str]) -> None:
    log = give(runa, odd, right)
    sent = {"dive": operation(feed=log, counter=1), "proposal": operation(feed=log, kind="proposal", fields=CAP)}
    answer = ask(odd, operations=list(sent.values()))
    stored = {one["op"] for one in answer["results"] if one["status"] == "stored"}
    assert {kind for kind, one in sent.items() if one["op"] in stored} == kinds


def test_a_file_of_unsent_changes_puts_each_into_its_feed_and_none_into_the_own_log(
    runa: User, odd: User, crew: str
) -> None:
    phone = Phone()
    sent = [
        operation(feed=person(runa), counter=1, fields={**DIVE, "note": "of Runa, who does not share"}),
        operation(feed=crew, kind="guest", fields=GUEST, counter=2),
        operation(counter=3),
    ]
    file = {"app": "lineslate", "user": odd.id, "device": phone.device, "operations": sent, "parked": []}
    brought = bringing.bring(odd.id, json.dumps(file).encode(), NOW)

    assert (brought.stored, [[fault.field for fault in faults] for _, faults in brought.refused]) == (2, [["feed"]])
    assert [record["id"] for record in log_of(odd, "dive")] == [sent[2]["record"]]
    assert [change["kind"] for change in ask(runa)["feeds"][0]["changes"]] == ["guest"]
