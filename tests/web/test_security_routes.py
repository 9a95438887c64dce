"""Every address of the app: who may come in, whose things are there, and that no form acts without its token.

The tables name every endpoint; one that is missing fails, so that a new page has to say who may see it.
"""

import sqlite3
from contextlib import closing
from typing import Any

import pytest
from flask import Flask
from support.phones import new_id
from support.routes import (
    BY_TOKEN,
    FOR_EVERYBODY,
    JOIN,
    OBJECTS,
    OWN,
    WITHOUT_TOKEN,
    address,
    rules,
)

from webapp.actions import histories
from webapp.web import assets


@pytest.fixture
def record(names: dict[str, str]) -> str:
    """A dive of the first diver."""
    return names["a record"]


OWNED = {
    "record": "feed_id",
    "journal": "feed_id",
    "feed": "owner_id",
    "member": "feed_id",
    "offer": "feed_id",
}  # the first diver's feed


def held(settings: dict[str, Any], *tables: str) -> list[Any]:
    """Return what the first diver's tables hold."""
    with closing(sqlite3.connect(settings["DATA_FILE"])) as connection:
        return [
            connection.execute(f"SELECT * FROM {name} WHERE {OWNED.get(name, 'user_id')} = 1").fetchall()  # noqa: S608
            for name in tables
        ]


ALL = ("season", "feed", "member", "record", "journal", "share_link", "invitation", "passkey", "way_back", "offer")


def look(person: Any, path: str) -> tuple[int, Any]:
    """Open an address, which may give a file instead of a page, and return status and headers."""
    with person.client.get(path) as response:
        return response.status_code, response.headers


def token(person: Any) -> str:
    return str(person.get("/sharing/").form("label")["fields"]["csrf_token"])


def test_every_address_is_in_one_of_the_tables(app: Flask) -> None:
    tables = (FOR_EVERYBODY, BY_TOKEN, OWN, JOIN, set(OBJECTS))

    assert {rule.endpoint for rule in app.url_map.iter_rules()} == set().union(*tables)
    assert sum(len(table) for table in tables) == len(set().union(*tables))


def test_whoever_is_signed_out_is_sent_to_sign_in_and_nothing_is_shown_or_done(
    stranger: Any, app: Flask, names: dict[str, str], record: str, settings: Any
) -> None:
    before, form = held(settings, *ALL), stranger.get("/account/sign-in").form("name")["fields"]["csrf_token"]
    for rule in rules(app, "GET", *OWN, *OBJECTS, *JOIN):
        page = stranger.get(address(app, rule, names))
        assert page.status == 302, rule
        assert page.headers["Location"].startswith("/account/sign-in?next="), rule
    for rule in rules(app, "POST", *OWN, *OBJECTS, *JOIN):
        page = stranger.post(address(app, rule, names), {"csrf_token": form, "do": "save"})
        assert page.status in (401, 403), rule
        assert "Runa" not in page.html
    assert before == held(settings, *ALL)


def test_another_diver_finds_nothing_at_any_address_of_the_first_and_changes_nothing(
    other: Any, app: Flask, names: dict[str, str], record: str, settings: Any
) -> None:
    before, form = held(settings, *ALL), token(other)
    op = histories.history(1, record)[0].entry.asked.op
    for rule in rules(app, "GET", *OBJECTS):
        assert other.get(address(app, rule, names)).status == 404, rule
    for rule in rules(app, "POST", *OBJECTS):
        typed = {"csrf_token": form, "do": "save", "op": op, "name": "effort", "base": "1"}
        assert other.post(address(app, rule, names), typed).status == 404, rule
    assert before == held(settings, *ALL)


def test_what_is_somebody_elses_looks_the_same_as_what_is_not_there(other: Any, record: str) -> None:
    for theirs, nothing in (("/seasons/1", "/seasons/999"), (f"/history/{record}", f"/history/{new_id()}")):
        assert other.get(theirs).html == other.get(nothing).html


def test_the_owner_reaches_every_one_of_those_addresses(
    planner_of_may: Any, app: Flask, names: dict[str, str], record: str
) -> None:
    """Or the test above would prove nothing."""
    op = histories.history(1, record)[0].entry.asked.op
    for rule in rules(app, "GET", *OWN, *OBJECTS):
        assert look(planner_of_may, address(app, rule, names))[0] == 200, rule
    typed = {
        "csrf_token": token(planner_of_may),
        "do": "preview",
        "op": op,
        "name": "effort",
        "base": "1",
        "right": "list",
        "days": "7",
    }
    found = {
        rule.endpoint: planner_of_may.post(address(app, rule, names), typed).status
        for rule in rules(app, "POST", *OBJECTS)
    }
    assert {name: code for name, code in found.items() if code not in (200, 302, 400)} == {}


def test_no_form_acts_without_its_token(
    planner_of_may: Any, app: Flask, names: dict[str, str], record: str, settings: Any
) -> None:
    before = held(settings, *ALL)
    for rule in app.url_map.iter_rules():
        if "POST" in (rule.methods or ()) and rule.endpoint not in WITHOUT_TOKEN:
            for typed in ({}, {"csrf_token": "made up"}):
                page = planner_of_may.post(
                    address(app, rule, names), {**typed, "do": "save", "name": "Runa Tidewell", "password": "x"}
                )
                assert page.status == (404 if rule.endpoint in BY_TOKEN else 400), rule
    assert before == held(settings, *ALL)
    assert planner_of_may.get("/account/").status == 200


def test_a_token_of_another_diver_is_worth_nothing(planner_of_may: Any, other: Any) -> None:
    assert planner_of_may.post("/sharing/make", {"csrf_token": token(other), "label": "x"}).status == 400


def test_nothing_is_changed_by_looking(
    planner_of_may: Any, app: Flask, names: dict[str, str], record: str, settings: Any
) -> None:
    before = held(settings, *ALL)
    for rule in rules(app, "GET", *OWN, *OBJECTS):
        look(planner_of_may, address(app, rule, names))
    for rule in rules(app, "POST", *OBJECTS):
        if "GET" not in (rule.methods or ()):
            assert planner_of_may.get(address(app, rule, names)).status == 405, rule
    assert before == held(settings, *ALL)


def test_what_a_cache_may_keep_is_the_same_for_everybody_and_all_else_is_kept_by_none(
    planner_of_may: Any, stranger: Any, app: Flask, names: dict[str, str], record: str
) -> None:
    kept = [*assets.shells(), *assets.files(), "/pwa/manifest.webmanifest", "/service_worker/list.js"]
    for path in kept:
        mine, theirs = planner_of_may.get(path), stranger.get(path)
        assert mine.status == 200, path
        assert mine.html == theirs.html, path
        assert "Set-Cookie" not in mine.headers, path
        assert not [word for word in ("Runa", "csrf", "Holm") if word in mine.html], path
    for rule in rules(app, "GET", *OWN, *OBJECTS, "account.sign_in", "account.sign_up", "rulebook.index"):
        _, headers = look(planner_of_may, address(app, rule, names))
        assert headers["Cache-Control"] == "no-store", rule
        assert address(app, rule, names) not in kept
