"""What an edit makes of a stored season: the days before a change stay, and nothing is lost in silence."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import day
from support.story import season

from webapp.records.changes import raw_on
from webapp.records.changing import Edit, edited, from_the_start, later_of_same, parts_changed, taken_back
from webapp.records.season import check_season
from webapp.records.written import written_out
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
SITES = st.integers(50, 70).map(lambda bottom_m: {"name": "Invented Bay", "bottom_m": bottom_m})
CLOSED = st.lists(st.integers(5, 20).map(day), max_size=3)
PARTS = st.fixed_dictionaries({}, optional={"site": SITES, "closed_days": CLOSED}).filter(bool)
EDITS = st.lists(st.tuples(st.integers(1, 12), PARTS), max_size=5)


def blocks(*spans: tuple[int, int], **changes: Any) -> dict[str, Any]:
    rhythm = {"main": "FIM", "days_on": 2, "days_off": 1, "drills": [], **changes}
    return {"blocks": [{"first_day": day(first), "last_day": day(last), **rhythm} for first, last in spans]}


@given(EDITS)
def test_edits_made_one_day_after_the_other_leave_the_days_before_and_hold_from_their_own(
    edits: list[tuple[int, dict[str, Any]]],
) -> None:
    raw: dict[str, Any] = season()
    for at, parts in sorted(edits, key=lambda one: one[0]):
        before = raw
        raw = edited(raw, Edit(parts, day(at), "", day(at)))
        for number in range(at):
            assert raw_on(raw, day(number)) == raw_on(before, day(number))
        for name, part in parts.items():
            assert raw_on(raw, day(at))[name] == part or part == before.get(name)
        check_season(raw, BOOK)
    days = [change["from"] for change in raw.get("changes", [])]
    assert days == sorted(set(days))
    assert all(change["set"] for change in raw.get("changes", []))


def test_only_what_says_something_else_counts_as_changed() -> None:
    raw = season()
    shown = written_out(raw, BOOK)
    again = {name: part for name, part in shown.items() if name not in ("first_day", "book")}
    same = {**again, "closed_days": None, "site": {**again["site"], "salinity": None}}

    assert parts_changed(raw, same, day(3), BOOK) == {}
    assert set(parts_changed(raw, {**same, **blocks((0, 9))}, day(3), BOOK)) == {"blocks"}
    assert set(parts_changed(raw, {**same, "closed_days": [day(4)]}, day(3), BOOK)) == {"closed_days"}


def test_a_correction_reaches_the_base_through_changes_that_had_begun_and_leaves_those_to_come() -> None:
    set_by_day = [(2, {"days_on": 3}), (9, {"last_day": day(60)})]
    raw = {**season(), "changes": [{"from": day(at), "set": group} for at, group in set_by_day]}
    after = edited(raw, Edit(blocks((0, 9)), None, "", day(5)))

    assert after["changes"] == [raw["changes"][1]]
    assert not {"days_on", "lead", "drill"} & set(after)
    check_season(after, BOOK)


def test_blocks_in_the_place_of_an_older_field_of_the_same_day_replace_it() -> None:
    raw = {**season(), "changes": [{"from": day(2), "set": {"days_on": 3}, "why": "calm"}]}
    after = edited(raw, Edit(blocks((0, 9)), day(2), "", day(2)))

    assert after["changes"] == [{"from": day(2), "set": blocks((0, 9)), "why": "calm"}]


@pytest.mark.parametrize(("shown", "chosen", "refused"), [(2, 9, True), (9, 2, True), (5, 9, False), (2, 4, False)])
def test_a_change_between_the_day_shown_and_the_day_chosen_that_sets_the_same_part_refuses_the_edit(
    shown: int, chosen: int, refused: bool
) -> None:
    raw = {**season(), "changes": [{"from": day(5), "set": {"closed_days": [day(6)]}}]}
    edit = Edit({"closed_days": [day(10)]}, day(chosen), "", day(shown))
    if refused:
        with pytest.raises(Refused):
            edited(raw, edit)
    else:
        edited(raw, edit)
    edited(raw, Edit({"site": {"bottom_m": 50}}, day(chosen), "", day(shown)))


def test_a_later_change_of_the_same_part_is_named_and_one_of_another_part_is_not() -> None:
    raw = {**season(), "changes": [{"from": day(9), "set": {"closed_days": []}}]}

    assert later_of_same(raw, Edit({"closed_days": [day(4)]}, day(2), "", day(2))) == [day(9)]
    assert later_of_same(raw, Edit({"site": {}}, day(2), "", day(2))) == []


def test_one_part_for_the_whole_season_is_in_no_change_any_more() -> None:
    changes = [{"from": day(2), "set": {"diver": {"body_kg": 70}}}, {"from": day(3), "set": {"closed_days": []}}]
    after = from_the_start({**season(), "changes": changes}, "diver", {"body_kg": 74})

    assert (after["diver"], after["changes"]) == ({"body_kg": 74}, changes[1:])


def test_a_change_taken_back_leaves_the_season_as_if_it_had_never_been_made() -> None:
    raw = season()
    changed = edited(raw, Edit({"closed_days": [day(4)]}, day(2), "", day(2)))

    assert taken_back(changed, day(2)) == raw
    assert taken_back(changed, day(3)) is None
