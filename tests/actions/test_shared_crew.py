"""The order of diving of a crew as a buddy sees it: only if the diver chose it, and nothing of health."""

import json
from typing import Any

import pytest
from support.phones import NOW, TODAY, new_id, operation

from webapp import store
from webapp.actions import sharing, storing
from webapp.store import feeds, users
from webapp.store.values import Feed, User

AT = "2031-04-01T08:00:00Z"
YESTERDAY = "2031-03-31"
SECRET = "secret note"
DAY = {"date": TODAY, "starts_at": "09:00", "line_most_m": 60, "line_keeper": None, "boat": None, "clock": None,
       "site": "Invented Bay", "note": SECRET}  # fmt: skip
ABOARD = {"date": TODAY, "name": "Runa", "guest": False, "ready": True, "may_meet_m": 25, "late_until": None,
          "over": False}  # fmt: skip
TURN = {"date": TODAY, "discipline": "FIM", "role": "deep", "depth_m": 38, "dive_s": 84, "pause_s": 1200,
        "fixed_at": None, "pinned": None, "safety": None, "began_at": None, "ended_at": None, "result": None,
        "reached_m": None, "dive": None}  # fmt: skip


@pytest.fixture
def odd(runa: User) -> User:
    """Another diver, who makes the crew."""
    with store.transaction():
        return users.add_user("Odd", "odd", "none", AT)


@pytest.fixture
def crew(runa: User, odd: User) -> Feed:
    """The crew of Odd, in which Runa is."""
    with store.transaction():
        made = feeds.add_feed("crew", odd.id, AT)
        feeds.put_member(made.id, runa.id, frozenset({"crew"}), AT)
    return made


def person(diver: User) -> str:
    with store.reading():
        return feeds.log_name(diver.id)


def write(crew: Feed, author: User, *rows: tuple[str, dict[str, Any]]) -> None:
    """Write records of a crew, each (kind, fields)."""
    made = [operation(kind=kind, fields=fields, counter=at) for at, (kind, fields) in enumerate(rows)]
    with store.transaction():
        answers = storing.store_batch(crew.id, author.id, new_id(), made, AT, 0, crew.kind).answers
    assert [one["status"] for one in answers] == ["stored"] * len(rows), answers


def seen(diver: User, **shows: bool) -> dict[str, Any]:
    return sharing.shared_days(sharing.make_link(diver.id, "Ivo", NOW, **shows), NOW)


def test_the_order_is_shown_only_by_a_link_for_which_the_diver_chose_it(runa: User, odd: User, crew: Feed) -> None:
    write(crew, odd, ("aboard", {**ABOARD, "person": person(runa)}))

    assert "crew" not in seen(runa)
    assert "crew" not in seen(odd, shows_over=True)
    assert len(seen(runa, shows_crew=True)["crew"]) == 1


def test_a_buddy_gets_what_the_order_needs_and_no_note_result_or_depth_reached(
    runa: User, odd: User, crew: Feed
) -> None:
    done = {"began_at": "2031-04-01T07:10:00Z", "ended_at": "2031-04-01T07:12:00Z", "reached_m": 31.5}
    write(
        crew,
        odd,
        ("crew_day", DAY),
        ("guest", {"name": "Ebba", "may_meet_m": 15, "note": SECRET}),
        ("aboard", {**ABOARD, "person": person(runa)}),
        ("turn", {**TURN, "person": person(runa), **done, "result": "turned"}),
    )
    (shown,) = seen(runa, shows_crew=True)["crew"]

    assert shown["crew_day"] == {name: DAY[name] for name in DAY if name != "note"}
    assert set(shown["aboard"][0]) == {*ABOARD, "id", "person"}
    assert set(shown["turns"][0]) == {*TURN, "id", "person"} - {"result", "reached_m", "dive"}
    assert [word for word in (SECRET, "turned", "31.5") if word in json.dumps(shown)] == []


def test_yesterdays_dives_are_not_in_todays_order_and_a_day_without_the_diver_is_not_shown(
    runa: User, odd: User, crew: Feed
) -> None:
    write(crew, odd, ("aboard", {**ABOARD, "person": person(odd)}), ("turn", {**TURN, "person": person(odd)}))
    write(crew, odd, ("aboard", {**ABOARD, "person": person(runa), "date": YESTERDAY}))
    assert seen(runa, shows_crew=True)["crew"] == []

    write(crew, odd, ("aboard", {**ABOARD, "person": person(runa)}))
    write(crew, odd, ("turn", {**TURN, "person": person(runa), "date": YESTERDAY}))
    (shown,) = seen(runa, shows_crew=True)["crew"]
    assert {one["person"] for one in shown["aboard"]} == {person(runa), person(odd)}
    assert [one["person"] for one in shown["turns"]] == [person(odd)]


@pytest.mark.parametrize("how", ["over", "rescue"])
def test_of_whom_the_day_is_over_dives_and_duties_go_and_nothing_says_why(
    how: str, runa: User, odd: User, crew: Feed
) -> None:
    hurt = person(odd)
    done = {"began_at": "2031-04-01T07:10:00Z", "ended_at": "2031-04-01T07:12:00Z"}
    write(
        crew,
        odd,
        ("aboard", {**ABOARD, "person": person(runa)}),
        ("aboard", {**ABOARD, "person": hurt, "name": "Odd", "over": how == "over"}),
        ("turn", {**TURN, "person": hurt, **done, "result": how if how == "rescue" else "hard"}),
        ("turn", {**TURN, "person": hurt}),
    )
    (shown,) = seen(runa, shows_crew=True, shows_over=True)["crew"]

    (out,) = [one for one in shown["aboard"] if one["person"] == hurt]
    assert (out["ready"], out["may_meet_m"], out["over"]) == (False, None, False)
    assert [(one["began_at"], one["ended_at"]) for one in shown["turns"]] == [tuple(done.values())]
    assert "rescue" not in json.dumps(shown)


def test_a_dive_whose_end_nobody_noted_is_not_shown_as_still_in_the_water_or_to_come(
    runa: User, odd: User, crew: Feed
) -> None:
    began = {"began_at": "2031-04-01T07:10:00Z", "result": "done"}
    write(
        crew,
        odd,
        ("aboard", {**ABOARD, "person": person(runa)}),
        ("turn", {**TURN, "person": person(runa), **began}),
        ("turn", {**TURN, "person": person(runa), "result": "done"}),
    )
    (shown,) = seen(runa, shows_crew=True)["crew"]

    assert [one["ended_at"] for one in shown["turns"]] == ["2031-04-01T07:11:24Z"]


def test_a_crew_that_the_diver_left_is_not_shown(runa: User, odd: User, crew: Feed) -> None:
    write(crew, odd, ("aboard", {**ABOARD, "person": person(runa)}))
    with store.transaction():
        assert feeds.remove_member(crew.id, runa.id)

    assert seen(runa, shows_crew=True)["crew"] == []
