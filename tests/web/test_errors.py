"""One error shape for programs, plain pages for people, and forms that come back with what was typed."""

import json

import pytest
from flask import Flask

from webapp.rulebook.faults import Fault
from webapp.web.errors import body

JSON = {"Accept": "application/json"}


def has_the_shape(page, status: int, code: str) -> dict:
    """Assert the one error shape and return what is in it."""
    said = json.loads(page.html)
    assert status == page.status
    assert {"app", "error"} == set(said)
    assert said["app"] == "lineslate"
    assert {"code", "says", "faults"} == set(said["error"])
    assert code == said["error"]["code"]
    assert said["error"]["says"].endswith(".")
    assert all({"field", "says"} == set(fault) for fault in said["error"]["faults"])
    return said["error"]


def test_the_shape_holds_every_fault_at_once() -> None:
    said = body("refused", "No.", (Fault("a", "is missing"), Fault("b", "is late")))

    assert said["error"]["faults"] == [{"field": "a", "says": "is missing"}, {"field": "b", "says": "is late"}]


@pytest.mark.parametrize("path", ["/nowhere.json", "/share/x/list.json"])
def test_a_program_that_asks_for_what_is_not_there_gets_the_shape(stranger, path: str) -> None:
    has_the_shape(stranger.get(path), 404, "not_found")


def test_whoever_accepts_only_json_gets_the_shape(stranger) -> None:
    has_the_shape(stranger.get("/nowhere", headers=JSON), 404, "not_found")


def test_a_person_gets_a_page_with_a_way_back(stranger) -> None:
    page = stranger.get("/nowhere")

    assert page.status == 404
    assert "There is nothing here" in page.words
    assert "/" in page.links


def test_a_wrong_way_of_asking_says_which_ways_there_are(stranger) -> None:
    page = stranger.get("/account/sign-out")

    assert page.status == 405
    assert "POST" in page.headers["Allow"]


@pytest.fixture
def broken(app: Flask) -> Flask:
    """An app with an address that breaks, telling of its inside."""

    @app.get("/broken")
    def breaks() -> str:
        raise RuntimeError("the password of the engine room")

    return app


def test_what_was_not_foreseen_tells_nothing_of_the_inside(broken, person) -> None:
    page = person(broken).get("/broken")
    has_the_shape(person(broken).get("/broken", headers=JSON), 500, "broken")

    assert page.status == 500
    assert "engine room" not in page.html
    assert "Traceback" not in page.html


def test_too_large_a_request_is_refused_in_the_shape(stranger, app) -> None:
    page = stranger.post("/account/sign-in", {"name": "x" * (app.config["MAX_CONTENT_LENGTH"] + 1)}, headers=JSON)

    has_the_shape(page, 413, "too_large")


def test_a_season_form_with_a_dead_token_comes_back_with_all_that_was_typed_and_can_be_sent(diver) -> None:
    form = diver.get("/seasons/new/all").form("name")["fields"]
    typed = {"name": "Typed for an hour", "FIM-dived": "y", "FIM-best_m": "41", "do": "save"}
    page = diver.post("/seasons/new/all", {**form, **typed, "csrf_token": "dead"})
    fields = page.form("name")["fields"]

    assert page.status == 400
    assert "open for too long" in page.words
    assert [fields[name] for name in ("name", "FIM-best_m", "FIM-dived")] == ["Typed for an hour", "41", "y"]
    assert fields["csrf_token"] != "dead"
    assert "No season yet" in diver.get("/seasons/").words


def test_a_form_sent_without_any_token_does_nothing(diver) -> None:
    assert diver.post("/account/invite", {}).status == 400
    assert diver.post("/sharing/make", {"label": "Ebba"}).status == 400
    assert diver.post("/account/sign-out", {}).status == 400
    assert diver.get("/account/").status == 200
    assert "None." in diver.get("/sharing/").words


def test_a_form_sent_after_being_signed_out_is_held_and_can_be_sent_after_signing_in_again(diver) -> None:
    form = diver.get("/seasons/new/all").form("name")["fields"]
    diver.press("/account/", "/account/sign-out")
    held = diver.post("/seasons/new/all", {**form, "name": "Typed for an hour", "do": "save"})
    diver.sign_in()
    back = diver.send(held, "/seasons/new/all", {}, holding="name")

    assert held.form("name")["fields"]["name"] == "Typed for an hour"
    assert back.form("name")["fields"]["name"] == "Typed for an hour"
    assert "2 things" in back.words or "things need a look" in back.words


def test_a_held_form_never_holds_a_password(stranger) -> None:
    form = stranger.get("/account/sign-in").form("name")["fields"]
    page = stranger.post("/account/sign-out", {**form, "password": "slow kelp drifts", "csrf_token": "dead"})

    assert "slow kelp drifts" not in page.html


def test_the_rulebook_with_a_dead_token_keeps_what_was_typed(planner_of_may) -> None:
    fields = planner_of_may.get("/rulebook/").form("csrf_token")["fields"]
    page = planner_of_may.post("/rulebook/", {**fields, "rule:warm_up.dives": "1", "csrf_token": "dead"})

    assert page.status == 400
    assert page.form("csrf_token")["fields"]["rule:warm_up.dives"] == "1"
    assert planner_of_may.get("/rulebook/").form("csrf_token")["fields"]["rule:warm_up.dives"] == ""
