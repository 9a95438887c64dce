"""The outlook as a phone asks for it: its diver's own, or a student's who shares the log, and nobody else's."""

from __future__ import annotations

from typing import Any

import pytest

from webapp import store
from webapp.store import feeds


def asked(who: Any, query: str = "", **headers: str) -> tuple[int, dict[str, Any], Any]:
    with who.client.get(f"/outlook.json{query}", headers=headers) as answer:
        return answer.status_code, answer.get_json(silent=True) or {}, answer.headers


def test_a_diver_gets_the_outlook_and_the_same_one_is_not_sent_twice(planner_of_may: Any, names: Any) -> None:
    status, found, headers = asked(planner_of_may, "?user=1")
    assert status == 200
    assert found["format"] == 1
    assert found["season"]["name"]
    assert {"forecast", "limits", "load", "bests", "progress", "reviews"} <= found.keys()
    assert headers["Cache-Control"] == "no-store"
    assert asked(planner_of_may, **{"If-None-Match": headers["ETag"]})[0] == 304


def test_the_caution_stands_in_the_answer_and_nothing_in_it_says_go(planner_of_may: Any, names: Any) -> None:
    _, found, _ = asked(planner_of_may)
    assert "nothing about the risk" in found["cautions"][0]
    assert "must never push a dive" in found["cautions"][1]
    words = " ".join(map(str, found["forecast"].values())).lower()
    assert [word for word in (" safe", "ready to dive", " go ", "blackout") if word in words] == []


def test_a_phone_that_asks_for_another_diver_is_told_so(other: Any) -> None:
    status, found, _ = asked(other, "?user=1")
    assert status == 409
    assert found["error"]["code"] == "other_user"


def test_without_a_season_the_outlook_says_so(other: Any) -> None:
    _, found, _ = asked(other)
    assert found["forecast"] == {"none_because": "There is no active season. Set one up on shore first."}
    assert found["season"] is None


@pytest.mark.parametrize(("rights", "status"), [((), 404), (("list",), 404), (("list", "log"), 200)])
def test_a_students_outlook_is_for_whoever_may_read_the_log_and_without_the_load(
    rights: tuple[str, ...], status: int, other: Any, planner_of_may: Any
) -> None:
    with store.transaction():
        feed = feeds.log_name(1)
        if rights:
            feeds.put_member(feeds.log_feed(1), 3, frozenset(rights), "2027-05-01T08:00:00Z")
    got, found, _ = asked(other, f"?feed={feed}")
    assert got == status
    if status == 200:
        assert found["season"]["name"]
        assert found["load"]["weeks"] == []
        assert found["load"]["says"] == ["Only its diver sees the load."]
