"""What is sent to the addresses of passkeys without a browser's key: refused in words, and counted."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask

from webapp.actions import passkeys

GUESSES: list[Any] = [
    None,
    7,
    "x",
    [],
    {},
    {"credential": None},
    {"credential": {"id": "x"}},
    {"credential": {"id": 7}},
]


def post(person: Any, path: str, sent: Any) -> Any:
    page = person.get("/account/" if path.startswith("/passkeys/add") else "/account/sign-in")
    token = next(given["value"] for _, given in page.tags if given.get("name") == "csrf_token")
    headers = {"Accept": "application/json", "X-CSRFToken": token}
    with person.client.post(path, json=sent, headers=headers) as answer:
        return answer.status_code, answer.get_json()


@pytest.mark.parametrize("sent", GUESSES, ids=repr)
def test_what_is_no_passkey_signs_nobody_in(diver: Any, app: Flask, person: Any, sent: Any) -> None:
    status, said = post(person(app), "/passkeys/sign-in", sent)
    assert status == 400
    assert "not known here" in said["error"]["faults"][0]["says"]


@pytest.mark.parametrize("sent", GUESSES, ids=repr)
def test_what_is_no_passkey_is_not_kept(diver: Any, sent: Any) -> None:
    assert post(diver, "/passkeys/add-options", {})[0] == 200
    status, said = post(diver, "/passkeys/add", sent)
    assert status == 400
    assert "could not be made" in said["error"]["faults"][0]["says"]
    assert passkeys.passkeys(1) == []


def test_guessing_passkeys_has_to_wait(diver: Any, app: Flask, person: Any) -> None:
    app.extensions["throttles"]["sign_in_address"].tries = 3
    guesser = person(app, "198.51.100.4")
    statuses = [post(guesser, "/passkeys/sign-in", {"credential": {"id": "x"}})[0] for _ in range(4)]
    assert statuses == [400, 400, 400, 429]


def test_the_browser_is_asked_for_a_lock_and_for_this_host_alone(diver: Any, app: Flask, person: Any) -> None:
    status, options = post(diver, "/passkeys/add-options", {})
    assert status == 200
    assert options["rp"]["id"] == "localhost"
    assert options["authenticatorSelection"]["userVerification"] == "required"
    first, second = (post(person(app), "/passkeys/options", {})[1]["challenge"] for _ in range(2))
    assert first != second
    assert len(first) >= 22  # 16 bytes: what WebAuthn level 3, section 13.4.3, asks for at least
