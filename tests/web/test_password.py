"""A password can be changed, and set anew when it is lost; what that ends is said and done."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from webapp import store
from webapp.actions import passwords, sharing
from webapp.store import passkeys

OLD, NEW = "slow kelp drifts", "seven pale anchors"
CODE = re.compile(r'value="((?:[0-9A-Z]{5}-){4}[0-9A-Z]{5})"')


def change(person: Any, old: str = OLD, new: str = NEW, **more: str) -> Any:
    return person.fill("/password/", {"old_password": old, "new_password": new, **more}, holding="old_password")


def code_of(page: Any) -> str:
    found = CODE.search(page.html)
    assert found, page.words
    return found[1]


@pytest.fixture
def code(app: Flask, person: Any) -> str:
    """The recovery code of the first diver, as the page after sign-up shows it."""
    return code_of(person(app).sign_up())


def test_after_a_change_only_the_new_password_works_and_other_devices_are_signed_out(
    diver: Any, app: Flask, person: Any
) -> None:
    phone = person(app)
    phone.sign_in()
    assert "The password is changed." in change(diver).words
    assert diver.get("/account/").status == 200
    assert phone.get("/account/").status == 302
    assert [person(app).sign_in(password=one).status for one in (OLD, NEW)] == [400, 200]


def test_a_wrong_old_and_a_weak_new_password_are_told_together_and_change_nothing(diver: Any) -> None:
    page = change(diver, "not this one", "1234567890")
    assert page.status == 400
    assert page.fault_of("old_password") == "Is wrong."
    assert "too easy to guess" in page.fault_of("new_password")
    assert change(diver).status == 200


def test_guessing_the_old_password_has_to_wait(diver: Any) -> None:
    assert [change(diver, f"guess {number}").status for number in range(9)] == [400] * 8 + [429]


@pytest.mark.parametrize("ends", [True, False])
def test_a_change_ends_links_and_invitations_when_asked(diver: Any, clock: Any, ends: bool) -> None:
    sharing.make_link(1, "Ebba", clock())
    diver.press("/account/", "/account/invite")
    change(diver, **({"links_too": "on", "invitations_too": "on"} if ends else {}))
    page = diver.get("/account/")
    assert ("Ebba" in page.html) != ends
    assert ("End the open invitations: 1" in page.html) != ends


@pytest.mark.parametrize("ends", [True, False])
def test_passkeys_stay_unless_the_diver_says_so(diver: Any, ends: bool) -> None:
    with store.transaction():
        passkeys.add_passkey(1, "a credential", "a key", 0, "Boat phone", "2027-05-10T09:30:00Z")
    change(diver, **({"passkeys_too": "on"} if ends else {}))
    assert ("Remove the passkeys: Boat phone" in diver.get("/account/").words) != ends


def test_signing_out_everywhere_names_what_goes_on_and_ends_it_when_asked(diver: Any, clock: Any) -> None:
    sharing.make_link(1, "Ebba", clock())
    diver.press("/account/", "/account/invite")
    page = diver.get("/account/")
    assert "Take back the buddy links: Ebba" in page.words
    typed = {"links_too": "on", "invitations_too": "on"}
    diver.send(page, "/account/", typed, holding="/account/sign-out-everywhere")
    diver.sign_in()
    page = diver.get("/account/")
    assert "buddy links:" not in page.words
    assert "open invitations:" not in page.words


def test_the_code_shown_at_sign_up_sets_a_new_password_once_and_ends_every_sign_in(
    app: Flask, person: Any, code: str
) -> None:
    phone, owner = person(app), person(app)
    phone.sign_in()
    typed = {"name": "runa tidewell", "code": code.lower().replace("-", " "), "new_password": NEW}
    page = owner.fill("/password/recover", typed)
    assert "The password is set" in page.words
    assert code_of(page) != code
    assert phone.get("/account/").status == 302
    assert person(app).fill("/password/recover", typed).status == 400
    assert person(app).sign_in(password=NEW).status == 200


@pytest.mark.parametrize("wrong", [{"name": "Somebody Else"}, {"code": "AAAAA-AAAAA-AAAAA-AAAAA-AAAAA"}, {"code": ""}])
def test_a_wrong_name_or_code_is_refused_in_the_same_words(
    app: Flask, person: Any, code: str, wrong: dict[str, str]
) -> None:
    page = person(app).fill("/password/recover", {"name": "Runa Tidewell", "code": code, "new_password": NEW, **wrong})
    assert page.status == 400
    assert passwords.NO_CODE in page.words
    assert person(app).sign_in().status == 200


def test_guessing_codes_has_to_wait(app: Flask, person: Any, code: str) -> None:
    guesser = person(app)
    typed = {"name": "Runa Tidewell", "new_password": NEW}
    pages = [guesser.fill("/password/recover", {**typed, "code": f"GUESS-{number}"}) for number in range(9)]
    assert [page.status for page in pages] == [400] * 8 + [429]


def test_a_weak_password_leaves_the_code_unused(app: Flask, person: Any, code: str) -> None:
    typed = {"name": "Runa Tidewell", "code": code}
    assert person(app).fill("/password/recover", {**typed, "new_password": "short"}).status == 400
    assert person(app).fill("/password/recover", {**typed, "new_password": NEW}).status == 200


def test_a_new_code_is_made_with_the_password_and_ends_the_old_one(app: Flask, person: Any, code: str) -> None:
    owner = person(app)
    owner.sign_in()
    assert owner.fill("/password/", {"password": "wrong one here"}, holding="password").status == 400
    made = code_of(owner.fill("/password/", {"password": OLD}, holding="password"))
    typed = {"name": "Runa Tidewell", "new_password": NEW}
    assert person(app).fill("/password/recover", {**typed, "code": code}).status == 400
    assert person(app).fill("/password/recover", {**typed, "code": made}).status == 200


def test_a_link_of_the_operator_sets_a_password_once_and_within_a_day(
    diver: Any, app: Flask, person: Any, clock: Any
) -> None:
    late, link = (f"/password/reset/{passwords.make_reset(1, clock())}" for _ in range(2))
    assert person(app).get(late).status == 404, "a newer link ends the older one"
    assert "too easy to guess" in person(app).fill(link, {"new_password": "qwertyuiop"}).fault_of("new_password")
    assert person(app).fill(link, {"new_password": NEW}).status == 200
    assert diver.get("/account/").status == 302
    assert person(app).get(link).status == 404
    unused = f"/password/reset/{passwords.make_reset(1, clock())}"
    clock.wait(hours=24, seconds=1)
    assert person(app).get(unused).status == 404


def test_a_link_does_nothing_without_the_token_of_its_form(diver: Any, app: Flask, person: Any, clock: Any) -> None:
    link = f"/password/reset/{passwords.make_reset(1, clock())}"
    assert person(app).post(link, {"new_password": NEW}).status == 400
    assert person(app).sign_in().status == 200


def test_neither_codes_nor_links_are_in_the_data_file(diver: Any, settings: dict[str, Any], clock: Any) -> None:
    made, token = passwords.make_recovery(1, clock()), passwords.make_reset(1, clock())
    store.close()
    kept = Path(settings["DATA_FILE"]).read_bytes()
    assert made.encode() not in kept
    assert made.replace("-", "").encode() not in kept
    assert token.encode() not in kept
