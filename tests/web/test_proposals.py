"""A number that a coach proposed is filled in where its diver would change it, and changes nothing by itself."""

from typing import Any

import pytest
from flask import Flask
from support.phones import operation

from webapp import store
from webapp.actions import sync

DEVICE, AT = "00000000-0000-4000-8000-0000000000c0", "2027-05-10T09:00:00Z"
PLAIN = {"date": "2027-05-14", "what": "setting", "by": "Odd Fenning", "answer": "accepted"}
SAYS = "Proposed by Odd Fenning, not saved yet."


@pytest.fixture
def propose(app: Flask) -> Any:
    """Put a proposal into the log of the first diver; return its record."""

    def put(**fields: Any) -> str:
        asked = operation(kind="proposal", fields={**PLAIN, **fields})
        with app.app_context(), store.transaction():
            (answer,) = sync.take(1, DEVICE, [asked], AT)
        assert answer["faults"] == []
        return str(asked["record"])

    return put


def test_a_rule_that_a_coach_proposed_stands_in_its_field_and_is_kept_only_when_it_is_saved(
    planner_of_may: Any, propose: Any
) -> None:
    record = propose(setting="interval.own_minutes", value=25)
    page = planner_of_may.get(f"/rulebook/?proposal={record}")

    assert page.words.count(SAYS) == 2  # at the top and beside the field
    assert "#rule-interval-own_minutes" in page.links
    fields = page.form("csrf_token")["fields"]
    assert fields["rule:interval.own_minutes"] == "25"
    assert (fields["holds-from_day"], fields["holds-why"]) in {
        ("2027-05-14", "Proposed by Odd Fenning"), ("", "Proposed by Odd Fenning"),
    }  # fmt: skip
    assert planner_of_may.get("/rulebook/").form("csrf_token")["fields"]["rule:interval.own_minutes"] == ""
    saved = planner_of_may.fill(f"/rulebook/?proposal={record}", {}, holding="csrf_token")
    assert "The rules of this season are saved" in saved.words
    assert planner_of_may.get("/rulebook/").form("csrf_token")["fields"]["rule:interval.own_minutes"] == "25"


def test_a_step_that_a_coach_proposed_is_filled_in_for_each_discipline_of_the_season(
    planner_of_may: Any, propose: Any
) -> None:
    record = propose(setting="ladder.step_m", value=1.5)
    page = planner_of_may.get(f"/rulebook/?proposal={record}", follow_redirects=True)
    before = planner_of_may.get("/seasons/1").form("csrf_token")["fields"]
    fields = page.form("csrf_token")["fields"]

    assert {name for name, value in fields.items() if name.endswith("-step_m") and value == "1.5"} == {
        name.replace("dived", "step_m") for name, value in before.items() if name.endswith("-dived") and value
    }
    assert page.words.count(SAYS) >= 2
    assert {name for name, value in fields.items() if before.get(name) != value} <= {
        "csrf_token", "holds-from_day", "holds-why", "holds-since", "holds-shown_on",
        *[name for name in fields if name.endswith("-step_m")],
    }  # fmt: skip


def test_what_is_no_setting_of_this_diver_fills_in_nothing_and_a_stranger_is_asked_to_sign_in(
    planner_of_may: Any, stranger: Any, propose: Any
) -> None:
    records = [propose(what="easy"), "no-such-record", "x" * 5000]
    for record in records:
        page = planner_of_may.get(f"/rulebook/?proposal={record}")
        assert (page.status, "Proposed by" in page.words) == (200, False)
        assert "Proposed by" not in planner_of_may.get(f"/seasons/1?proposal={record}").words
    kept = propose(setting="hard.in_a_row", value=1)
    page = stranger.get(f"/rulebook/?proposal={kept}")
    assert page.status == 302
    assert f"proposal%3D{kept}" in page.headers["Location"]
