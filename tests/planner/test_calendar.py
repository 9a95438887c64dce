"""Blocks, breaks, days on and off, closed days."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from support.seasons import day, seasons, sheet_of
from support.story import season


def kinds(**fields: Any) -> str:
    """The days of a season as letters: dive, rest, break, closed."""
    return "".join(one["kind"][0] for one in sheet_of(season(**fields))["days"])


def test_two_days_on_and_one_off() -> None:
    assert kinds(last_day=day(8)) == "ddrddrddr"


def test_a_closed_day_counts_as_a_day_off() -> None:
    assert kinds(last_day=day(4), closed_days=[day(1)]) == "dcddr"


def test_two_days_off_are_kept_after_a_closed_day_too() -> None:
    assert kinds(last_day=day(5), closed_days=[day(1)], days_off=2) == "dcrddr"


def test_a_closed_first_day_holds_nobody_up() -> None:
    assert kinds(last_day=day(4), closed_days=[day(0)], days_off=2) == "cddrr"


def test_each_block_opens_with_a_dive_day_and_the_last_is_cut() -> None:
    assert kinds(last_day=day(12), block_days=4, break_days=2) == "ddrdbbddrdbbd"


def test_a_block_opens_with_a_dive_day_after_a_break_that_is_shorter_than_the_days_off() -> None:
    assert kinds(last_day=day(7), days_off=3, block_days=2, break_days=1) == "ddbddbdd"


def test_without_a_break_the_next_block_waits_for_all_days_off() -> None:
    assert kinds(last_day=day(5), days_off=2, block_days=3, break_days=0) == "ddrrdd"


def test_without_a_break_a_full_run_still_gets_its_day_off() -> None:
    assert kinds(last_day=day(5), block_days=2, break_days=0) == "ddrddr"


def test_the_last_lead_repeats() -> None:
    other = {"discipline": "CWT", "best_m": 50, "start_m": 44, "step_m": 2, "repeats": 1, "goals": {}}
    raw = season(last_day=day(5), block_days=2, break_days=0, lead=["FIM", "CWT"])
    raw["disciplines"].append(other)
    assert [one["lead"] for one in sheet_of(raw)["days"]] == ["FIM", "FIM", "CWT", "CWT", "CWT", "CWT"]


@settings(max_examples=200)
@given(seasons())
def test_no_more_dive_days_in_a_row_than_days_on_and_none_on_closed_or_break_days(raw: dict[str, Any]) -> None:
    run, off, block = 0, raw["days_off"], None
    for one in sheet_of(raw)["days"]:
        if one["kind"] == "dive":
            opens = one["block"] != block
            assert run or off >= raw["days_off"] or opens
            assert one["date"] not in raw["closed_days"]
            run, off = run + 1, 0
        else:
            run, off = 0, off + 1
        assert run <= raw["days_on"]
        assert (one["kind"] == "break") == (one["block"] is None)
        block = one["block"]
