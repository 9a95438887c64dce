"""Who may do what: every address of the app, by every role that somebody can have beside its diver."""

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from support.phones import Phone
from support.routes import (
    BY_TOKEN,
    FOR_EVERYBODY,
    JOIN,
    OBJECTS,
    OWN,
    SECRET,
    address,
    number,
    rules,
    things_of_the_first,
)

from webapp import store
from webapp.actions import access, crews
from webapp.store import feeds

AT = "2027-05-10T09:00:00Z"
RIGHTS = ("list", "log", "write", "propose")
ROLES = ("another diver", *RIGHTS, "in the crew", "removed from the crew")
# Beside the first diver, who reaches everything: what leads to something for whom. Nobody else reaches anything.
ALSO = {
    "people.leave": set(RIGHTS),
    "people.rights": {"in the crew"},  # on their own log, for somebody of the crew
    "people.end": {"in the crew"},  # the same
    "crews.show": {"in the crew"},
    "crews.history": {"in the crew"},
    "crews.leave": {"in the crew"},
}
SEEN = {"list": set(), "log": {"dive", "site"}, "write": set(), "propose": {"dive", "site"}}  # kinds, by the exchange


def with_right(right: str) -> Callable[[int, dict[str, str]], None]:
    def give(user_id: int, names: dict[str, str]) -> None:
        feeds.put_member(1, user_id, access.whole([right]), AT)

    return give


def join(user_id: int, names: dict[str, str]) -> None:
    feeds.put_member(number(names["a crew"]), user_id, access.OF_CREW, AT)


def join_and_go(user_id: int, names: dict[str, str]) -> None:
    join(user_id, names)
    feeds.remove_member(number(names["a crew"]), user_id)


BECOMES: dict[str, Callable[[int, dict[str, str]], None]] = {
    "another diver": lambda user_id, names: None,
    **{right: with_right(right) for right in RIGHTS},
    "in the crew": join,
    "removed from the crew": join_and_go,
}


@pytest.fixture
def names(planner_of_may: Any, clock: Any) -> dict[str, str]:
    """What the first diver has; a log to give up and a crew to leave are the first diver's own here."""
    found = things_of_the_first(clock())
    with store.reading():
        return {**found, "a log": feeds.person_of(1).person, "a crew of hers": found["a crew"]}


def become(role: str, names: dict[str, str]) -> None:
    with store.transaction():
        BECOMES[role](3, names)


def status(who: Any, method: str, path: str, token: str) -> tuple[int, str]:
    if method == "GET":
        with who.client.get(path) as response:
            return response.status_code, response.get_data().decode("utf-8", "replace")
    page = who.post(path, {"csrf_token": token, "do": "preview", "name": "effort", "base": "1", "right": "list"})
    return page.status, page.html


@pytest.mark.parametrize("role", ROLES)
def test_each_role_reaches_what_the_table_says_and_nothing_else(
    role: str, other: Any, app: Flask, names: dict[str, str]
) -> None:
    become(role, names)
    token = str(other.get("/sharing/").form("label")["fields"]["csrf_token"])
    for method in ("GET", "POST"):
        for rule in rules(app, method, *OBJECTS):
            got, html = status(other, method, address(app, rule, names), token)
            may = role in ALSO.get(rule.endpoint, set())
            assert (got != 404) is may, (rule.endpoint, method, got)
            assert SECRET not in html
    named = {"static", "boat.shell", "pwa.script", "pwa.style", "pwa.worker_file"}  # by a name in the address
    for rule in rules(app, "GET", *OWN, *FOR_EVERYBODY - named):
        got, html = status(other, "GET", address(app, rule, names), token)
        assert got in (200, 302, 304), rule
        assert SECRET not in html, rule
    for rule in rules(app, "GET", *JOIN):
        assert status(other, "GET", address(app, rule, names), token)[0] == 404, rule
    for rule in rules(app, "GET", *BY_TOKEN):
        assert status(other, "GET", address(app, rule, names, token="made-up"), token)[0] == 404, rule


@pytest.mark.parametrize("role", ROLES)
def test_each_role_is_told_by_the_exchange_what_its_right_says(
    role: str, other: Any, names: dict[str, str], planner_of_may: Any
) -> None:
    become(role, names)
    own = {"Sec-Fetch-Site": "same-origin", "Lineslate-Kinds": "dive,day,clearance,site,crew_day,guest,aboard,turn"}
    request = Phone().request(today="2027-05-10", user=3, feeds=[])
    with other.client.post("/sync", json=request, headers=own) as answer:
        found = {feed["kind"]: feed for feed in answer.json["feeds"]}
    seen = {change["kind"] for change in found.get("log", {}).get("changes", [])}

    assert set(found) == ({"log"} if role in RIGHTS else {"crew"} if role == "in the crew" else set())
    assert seen == SEEN.get(role, set())
    assert (SECRET in str(found)) is ("dive" in seen)


def test_the_table_names_only_what_there_is(app: Flask) -> None:
    assert set(ALSO) <= set(OBJECTS)
    assert {role for roles in ALSO.values() for role in roles} <= set(ROLES) == set(BECOMES)


def test_the_removed_are_in_no_page_of_the_crew(
    other: Any, names: dict[str, str], planner_of_may: Any, clock: Any
) -> None:
    become("in the crew", names)
    assert "Odd Brae" in planner_of_may.get(f"/crews/{names['a crew']}").words
    with store.reading():
        person = feeds.person_of(3).person
    planner_of_may.press(f"/crews/{names['a crew']}", f"/people/{person}/remove")

    assert "Odd Brae" not in planner_of_may.get(f"/crews/{names['a crew']}").words
    assert [one.feed.title for one in crews.crews(3, clock())] == []
