"""What is written once and put into many answers is the same JSON as if each answer were written anew."""

from __future__ import annotations

import json
from typing import Any

import pytest

from webapp.protocol.written import Written, text_of, written

SHEET: dict[str, Any] = {
    "format": 1, "says": 'half a "quote", \\, \n, \x1f, é and \U0001f41f', "share": 0.1, "days": [{"on": "1st"}],
    "none": None, "yes": True, "empty": {}, "": [],
}  # fmt: skip


def compact(value: Any) -> str:
    return json.dumps(value, separators=(",", ":"))


@pytest.mark.parametrize(
    "answer",
    [
        {"app": "lineslate", "snapshot": {"season": {"name": "Øst"}, "sheet": written(SHEET)}, "changes": [{"rev": 1}]},
        {"snapshot": {"sheet": None}, "feeds": []},
        {"snapshot": None, "feeds": [{"feed": "a", "snapshot": {"sheet": written(SHEET)}}, {"feed": "b", "list": [1]}]},
        {"elsewhere": {"deep": [written(SHEET)]}, "sheet": [1, 2.5, "x", written({})]},
        {"fields": {"sheet": "typed", "feeds": {"snapshot": 'typed: "sheet"'}}},
        {"snapshot": {'half a "name': 1}},
        {},
    ],
)
def test_an_answer_is_byte_for_byte_what_it_is_without_anything_written_before(answer: dict[str, Any]) -> None:
    assert text_of(answer) == compact(answer)


def test_what_was_written_is_put_in_as_it_is_for_the_own_season_and_for_each_that_is_followed() -> None:
    own, followed = written(SHEET), written(SHEET)
    own.text, followed.text = '"own"', '"followed"'

    said = json.loads(text_of({"snapshot": {"sheet": own}, "feeds": [{"snapshot": {"sheet": followed}}]}))

    assert said == {"snapshot": {"sheet": "own"}, "feeds": [{"snapshot": {"sheet": "followed"}}]}


def test_a_value_that_carries_its_text_is_else_like_any_other() -> None:
    made = written(SHEET)

    assert made == SHEET
    assert json.loads(made.text) == SHEET
    assert not isinstance({**made, "format": 2}, Written)
