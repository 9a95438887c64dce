"""Crews on shore: made, joined by a link, handed over, left, deleted; and what becomes of one when its owner goes."""

import json
from typing import Any

import pytest
from flask import Flask
from support.phones import Phone, operation

from webapp import store
from webapp.actions import access, consents, crews, leaving, sync
from webapp.rulebook.faults import Refused
from webapp.store import feeds

GUEST = {"name": "Ebba of the shop", "may_meet_m": 20.5, "note": ""}


@pytest.fixture
def odd(diver: Any, app: Flask, person: Any) -> Any:
    """Another diver, signed in."""
    return signed_up(diver, person(app, "192.0.2.8"), "Odd Brae")


def signed_up(diver: Any, made: Any, name: str) -> Any:
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for _, given in page.tags if given.get("id") == "invitation")
    made.sign_up(name, link=link.removeprefix("http://localhost"))
    return made


def make(diver: Any, title: str = "Skarn boat") -> str:
    page = diver.fill("/crews/", {"title": title}, follow=False)
    assert page.status == 302
    return str(page.headers["Location"]).removeprefix("http://localhost")


def invite(diver: Any, crew: str) -> str:
    page = diver.press(crew, "/invite")
    found = next(given["value"] for _, given in page.tags if given.get("id") == "made")
    return str(found).removeprefix("http://localhost")


def join(person: Any, link: str) -> Any:
    return person.press(link, link)


def people(diver: int, crew: str, clock: Any) -> list[str]:
    return [one.name for one in crews.crew(diver, crew.rsplit("/", 1)[1], clock()).people]


def test_a_crew_is_made_and_everybody_with_the_link_joins_after_reading_what_it_is(
    diver: Any, odd: Any, app: Flask, person: Any, clock: Any
) -> None:
    crew = make(diver)
    link = invite(diver, crew)
    ilka = signed_up(diver, person(app, "192.0.2.9"), "Ilka Varn")
    shown = odd.get(link)
    assert "Join the crew Skarn boat" in shown.words
    assert "They see nothing of your log" in shown.words
    assert people(1, crew, clock) == ["Runa Tidewell"]

    page = join(odd, link)
    assert "/boat/crew" in page.links
    assert "Open it once while there is signal" in page.words
    clock.wait(minutes=5)
    join(ilka, link)
    assert people(3, crew, clock) == ["Runa Tidewell", "Odd Brae", "Ilka Varn"]
    assert consents.given(1) == consents.given(2) == []


def test_whoever_opens_the_link_signed_out_signs_in_first_and_is_then_asked(
    diver: Any, odd: Any, app: Flask, person: Any, clock: Any
) -> None:
    link = invite(diver, make(diver))
    phone = person(app, "192.0.2.10")
    page = phone.get(link)
    assert (page.status, "Skarn" in page.html) == (302, False)
    page = phone.fill(page.headers["Location"], {"name": "Odd Brae", "password": "slow kelp drifts"})
    assert "Join the crew Skarn boat" in page.words
    assert [one.feed.title for one in crews.crews(2, clock())] == []


def test_somebody_of_the_crew_is_given_a_right_without_a_link_and_a_stranger_is_not(
    diver: Any, odd: Any, clock: Any
) -> None:
    join(odd, invite(diver, make(diver)))
    form = diver.get("/people/").form("/rights")
    diver.post(form["action"], {**form["fields"], "right": ["write"]})
    assert [(one.name, set(one.rights)) for one in consents.given(1)] == [("Odd Brae", {"list", "write"})]


def test_a_link_taken_back_lets_nobody_in_and_puts_nobody_out(diver: Any, odd: Any, clock: Any) -> None:
    crew = make(diver)
    link = invite(diver, crew)
    join(odd, link)
    diver.press(crew, "/take-back")
    assert people(1, crew, clock) == ["Runa Tidewell", "Odd Brae"]
    assert odd.get(link).status == 404


def test_a_removed_member_finds_no_crew_and_one_who_leaves_neither(diver: Any, odd: Any, clock: Any) -> None:
    crew = make(diver)
    link = invite(diver, crew)
    join(odd, link)
    diver.press(crew, "/remove")
    assert odd.get(crew).status == 404
    join(odd, link)
    form = odd.get(crew).form("/leave")
    name = crew.rsplit("/", 1)[1]
    assert odd.post(f"/people/shared/{name}/leave", form["fields"]).status == 404  # a crew is no log
    odd.press(crew, "/leave")
    assert odd.get(crew).status == 404
    assert people(1, crew, clock) == ["Runa Tidewell"]


def test_a_crew_is_handed_over_and_deleted_only_when_nobody_else_is_in_it(diver: Any, odd: Any, clock: Any) -> None:
    crew = make(diver)
    join(odd, invite(diver, crew))
    name = crew.rsplit("/", 1)[1]
    with pytest.raises(Refused):
        crews.delete(1, name, clock())
    diver.press(crew, "/hand-over")
    assert people(1, crew, clock) == ["Odd Brae", "Runa Tidewell"]
    odd.press(crew, "/remove")
    odd.press(crew, "/delete")
    assert odd.get(crew).status == 404
    with store.reading():
        assert feeds.find_feed(name) is None


def test_when_its_owner_deletes_the_account_a_crew_goes_with_its_list_to_who_is_longest_in_it(
    diver: Any, odd: Any, app: Flask, person: Any, clock: Any
) -> None:
    crew, alone = make(diver), make(diver, "Alone")
    link = invite(diver, crew)
    join(odd, link)
    clock.wait(minutes=5)
    join(signed_up(diver, person(app, "192.0.2.9"), "Ilka Varn"), link)
    name = crew.rsplit("/", 1)[1]
    guest = operation(feed=name, kind="guest", fields=GUEST, counter=1)
    sync.sync(1, Phone().request(today="2027-05-10", operations=[guest], feeds=[]), clock())
    leaving.delete_account(1, "Runa Tidewell", "slow kelp drifts", clock())

    assert people(2, crew, clock) == ["Odd Brae", "Ilka Varn"]
    (feed,) = sync.sync(2, Phone().request(today="2027-05-10", user=2, feeds=[]), clock())["feeds"]
    assert (feed["own"], [change["fields"] for change in feed["changes"]]) == (True, [GUEST])
    page = odd.get(f"{crew}/history")
    assert "Guest: Ebba of the shop" in page.words
    assert "sent by someone who has left" in page.words
    with store.reading():
        assert feeds.find_feed(alone.rsplit("/", 1)[1]) is None


def test_a_student_who_deletes_the_account_is_closed_to_the_coach(diver: Any, odd: Any, clock: Any) -> None:
    with store.transaction():
        feeds.put_member(1, 2, access.whole(["propose"]), "2027-05-10T09:00:00Z")
        log = feeds.person_of(1).person
    leaving.delete_account(1, "Runa Tidewell", "slow kelp drifts", clock())
    request = Phone().request(today="2027-05-10", user=2, feeds=[], operations=[operation(feed=log, counter=1)])
    answer = sync.sync(2, request, clock())

    assert (answer["feeds"], [one["status"] for one in answer["results"]]) == ([], ["refused"])
    assert "Nothing." in odd.get("/people/").words


def test_the_archive_of_a_diver_has_the_crews_with_their_lists(diver: Any, odd: Any, clock: Any) -> None:
    crew = make(diver)
    join(odd, invite(diver, crew))
    guest = operation(feed=crew.rsplit("/", 1)[1], kind="guest", fields=GUEST, counter=1)
    sync.sync(1, Phone().request(today="2027-05-10", operations=[guest], feeds=[]), clock())
    (told,) = json.loads(leaving.export(2, clock())["crews.json"])

    assert (told["title"], told["own"], told["people"]) == ("Skarn boat", False, ["Runa Tidewell", "Odd Brae"])
    assert [record["name"] for record in told["records"]] == ["Ebba of the shop"]


@pytest.mark.parametrize("title", ["", "  ", "x" * 61, "a\u202eb"])
def test_a_crew_has_a_name_that_can_be_read(diver: Any, title: str) -> None:
    page = diver.fill("/crews/", {"title": title})
    assert page.status == 400


def test_there_is_an_end_to_the_crews_of_one_diver(diver: Any, clock: Any) -> None:
    for at in range(crews.MOST_CREWS):
        crews.make(1, f"Boat {at}", clock())
    with pytest.raises(Refused):
        crews.make(1, "One more", clock())
