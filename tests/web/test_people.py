"""Consent on shore: rights given by a link or to somebody of a crew, changed, ended and given up; both see it."""

from typing import Any

import pytest
from flask import Flask

from webapp.actions import consents, events, leaving, offers
from webapp.rulebook.faults import Refused


@pytest.fixture
def odd(diver: Any, app: Flask, person: Any) -> Any:
    """Another diver, signed in."""
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for _, given in page.tags if given.get("id") == "invitation")
    made = person(app, "192.0.2.8")
    made.sign_up("Odd Brae", link=link.removeprefix("http://localhost"))
    return made


def link_of(page: Any) -> str:
    found = next(given["value"] for _, given in page.tags if given.get("id") == "made")
    return str(found).removeprefix("http://localhost")


def offer(diver: Any, *rights: str, **typed: Any) -> Any:
    form = diver.get("/people/").form("/people/offer")["fields"]
    return diver.post("/people/offer", {**form, "label": "Odd", "right": list(rights), **typed})


def rights_of(user_id: int = 1) -> list[tuple[str, set[str]]]:
    return [(one.name, set(one.rights)) for one in consents.given(user_id)]


def test_an_offer_is_shown_once_as_a_link_and_a_code_and_gives_nothing_before_it_is_accepted(
    diver: Any, odd: Any
) -> None:
    page = offer(diver, "log")
    link = link_of(page)
    (code,) = [given for tag, given in page.tags if tag == "img"]
    assert code["src"].startswith("data:image/svg+xml")
    assert "style=" not in page.html
    again = diver.get("/people/")
    assert link not in again.html
    assert "see the list of the day; read the log, with what was reported after each dive" in again.words

    shown = odd.get(link)
    assert "Runa Tidewell wants to share a log with you" in shown.words
    assert "read the log, with what was reported after each dive" in shown.words
    assert "log a dive" not in shown.words
    assert rights_of() == []


def test_who_accepts_has_the_rights_offered_once_and_both_see_what_is_shared(diver: Any, odd: Any, clock: Any) -> None:
    link = link_of(offer(diver, "propose", "write"))
    page = odd.press(link, link)

    assert page.status == 200
    assert "You may: see the list of the day; read the log" in page.words
    assert "log a dive for them; propose a change." in page.words
    assert rights_of() == [("Odd Brae", {"list", "log", "write", "propose"})]
    assert "Odd Brae" in diver.get("/people/").words
    assert odd.get(link).status == 404
    assert {one.what for one in events.events(1)} >= {"offer_made", "offer_used"}
    assert "offer_accepted" in {one.what for one in events.events(2)}
    assert link.rsplit("/", 1)[1] not in str(leaving.export(1, clock()))


def test_the_owner_and_whoever_has_it_already_are_told_so(diver: Any, odd: Any) -> None:
    link = link_of(offer(diver, "log"))
    assert "This is your own link." in diver.get(link).words
    token = diver.get("/people/").form("/people/offer")["fields"]["csrf_token"]
    assert diver.post(link, {"csrf_token": token}).status == 400
    odd.press(link, link)
    assert "You have this already." in odd.get(link_of(offer(diver, "list"))).words


def test_an_offer_taken_back_or_out_of_date_opens_nothing(diver: Any, odd: Any, clock: Any) -> None:
    taken = link_of(offer(diver, "log"))
    diver.press("/people/", "/take-back")
    old = link_of(offer(diver, "log", days="1"))
    clock.wait(hours=25)

    assert (odd.get(taken).status, odd.get(old).status) == (404, 404)
    assert rights_of() == []


@pytest.mark.parametrize(
    ("typed", "says"),
    [({"right": []}, "choose at least one"), ({"days": "365"}, "one of the choices"), ({"label": "x" * 81}, "80")],
)
def test_an_offer_that_makes_no_sense_is_refused_with_what_was_typed(
    diver: Any, clock: Any, typed: Any, says: str
) -> None:
    page = offer(diver, "log", **typed)
    assert (page.status, says in page.words) == (400, True)
    assert offers.count_open(1, clock()) == 0


def test_rights_are_changed_and_ended_one_by_one_by_their_diver(diver: Any, odd: Any) -> None:
    link = link_of(offer(diver, "propose"))
    odd.press(link, link)
    form = diver.get("/people/").form("/rights")
    diver.post(form["action"], {**form["fields"], "right": ["write"]})
    assert rights_of() == [("Odd Brae", {"list", "write"})]
    diver.post(form["action"], {**form["fields"], "right": []})
    assert rights_of() == []
    assert "Nothing." in odd.get("/people/").words
    assert diver.post(form["action"], {**form["fields"], "right": ["log"]}).status == 404  # not without a new offer
    assert "my_rights_ended" in {one.what for one in events.events(2)}


def test_what_is_shared_can_be_given_up_by_who_has_it(diver: Any, odd: Any) -> None:
    link = link_of(offer(diver, "log"))
    odd.press(link, link)
    odd.press("/people/", "/leave")
    assert rights_of() == []
    assert "rights_ended" in {one.what for one in events.events(1)}


def test_whoever_guesses_links_must_wait(diver: Any, odd: Any) -> None:
    statuses = [odd.get(f"/join/guess-{at}").status for at in range(30)]
    assert statuses[0] == 404
    assert statuses[-1] == 429


def test_there_is_an_end_to_open_offers(diver: Any, clock: Any) -> None:
    for _ in range(offers.MOST_OFFERS):
        offers.offer_log(1, ["list"], "", 7, clock())
    with pytest.raises(Refused):
        offers.offer_log(1, ["list"], "", 7, clock())


def test_open_offers_end_with_a_sign_out_everywhere_if_the_diver_says_so(diver: Any, odd: Any) -> None:
    link = link_of(offer(diver, "log"))
    form = diver.get("/account/").form("/account/sign-out-everywhere")
    assert "Take back the open links that share the log or open a crew: 1" in diver.get("/account/").words
    diver.post(form["action"], {**form["fields"], "offers_too": "on"})
    assert odd.get(link).status == 404
    assert "offers_taken_back" in {one.what for one in events.events(1)}
