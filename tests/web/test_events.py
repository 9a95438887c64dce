"""What happened with an account: the diver sees it, and the server's log tells it without names or tokens."""

from __future__ import annotations

import json
import logging
from typing import Any

import pytest
from flask import Flask

from webapp import store
from webapp.actions import events
from webapp.store import happenings


def test_a_diver_sees_what_happened_with_the_account_and_nobody_elses(diver: Any, app: Flask, person: Any) -> None:
    person(app).sign_in(password="a wrong guess")
    typed = {"old_password": "slow kelp drifts", "new_password": "seven pale anchors"}
    diver.fill("/password/", typed, holding="old_password")
    diver.press("/account/", "/account/invite")
    page = diver.get("/account/events").words
    said = ["Invitation made", "Password changed", "Wrong password", "New recovery code made", "Account made"]
    assert sorted(said, key=page.index) == said


def test_the_log_of_the_server_has_neither_names_nor_tokens_nor_addresses(
    diver: Any, app: Flask, person: Any, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, "lineslate.events"):
        guesser = person(app, "198.51.100.4")
        guesser.sign_in("Nobody Known", "a wrong guess")
        guesser.sign_in(password="a wrong guess")
        diver.press("/account/", "/account/sign-out")
    lines = [json.loads(record.message) for record in caplog.records if record.name == "lineslate.events"]
    assert [(line["diver"], line["what"]) for line in lines] == [(None, "refused"), (1, "refused"), (1, "signed_out")]
    assert all(set(line) == {"at", "diver", "what", "says"} for line in lines)
    assert not any(word in caplog.text for word in ("Runa", "Nobody", "wrong guess", "198.51.100.4"))


def test_who_guesses_for_ever_does_not_fill_the_disk(diver: Any, app: Flask, clock: Any) -> None:
    for _ in range(happenings.MOST_KEPT + 20):
        with store.transaction():
            events.note(1, "refused", clock())
    assert len(events.events(1)) == happenings.MOST_KEPT
