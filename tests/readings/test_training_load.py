"""Load of training: the published formulas, days off and deep dives beside them, and no threshold from other sports."""

from __future__ import annotations

from typing import Any

import pytest
from support.seasons import dive

from webapp.readings.training_load import load_of
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
MONDAY = ("2031-03-31", "2031-04-01", "2031-04-02", "2031-04-03", "2031-04-04", "2031-04-05", "2031-04-06")
NEXT = "2031-04-07"  # the Monday after
# The week of our check: loads 360, 0, 420, 240, 0, 480, 0
WEEK = ((6, 60), None, (7, 60), (4, 60), None, (8, 60), None)


def said(on: str, rpe: int | None, minutes: int | None, **more: Any) -> dict[str, Any]:
    return {"id": f"day-{on}", "kind": "day", "date": on, "rpe": rpe, "minutes": minutes, **more}


def week(efforts: Any = WEEK) -> list[dict[str, Any]]:
    found = []
    for on, effort in zip(MONDAY, efforts, strict=True):
        if effort:
            found += [dive(id=f"d{on}", date=on), said(on, *effort)]
    return found


def only(log: list[dict[str, Any]], today: str = NEXT) -> dict[str, Any]:
    return next(one for one in load_of(log, today, BOOK)["weeks"] if one["first_day"] == MONDAY[0])


# source: effort 7 for 60 min is 420 (Foster et al., review, seen)
def test_the_load_of_a_day_is_its_effort_times_its_minutes() -> None:
    one = only([dive(id="a", date=MONDAY[2]), said(MONDAY[2], 7, 60)])
    assert (one["load"], one["days"], one["missing"]) == (420, 1, 0)


# source: formulas of Foster 1998, from memory; figures computed, tolerance 1e-3
def test_monotony_and_strain_of_a_week_are_those_of_the_check_with_the_sample_standard_deviation() -> None:
    one = only(week())
    assert one["load"] == 1500
    assert one["monotony"] == pytest.approx(1.0054, abs=1e-3)  # with the population's it would be 1.0859
    assert one["strain"] == pytest.approx(1508.06, abs=1e-2)  # with the population's it would be 1628.90
    assert (one["days"], one["days_off"]) == (4, 3)


def test_a_week_of_which_every_day_is_alike_has_no_monotony_and_is_not_infinite() -> None:
    one = only(week([(5, 60)] * 7))
    assert (one["load"], one["monotony"], one["strain"], one["days_off"]) == (2100, None, None, 0)


def test_a_dive_day_without_an_effort_is_counted_as_missing_and_makes_no_monotony() -> None:
    log = [*week(), dive(id="x", date=MONDAY[1])]
    one = only(log)
    assert (one["load"], one["missing"], one["monotony"], one["strain"]) == (1500, 1, None, None)
    assert "1 dive day without an effort" in " ".join(load_of(log, NEXT, BOOK)["says"])
    assert only([*week(), dive(id="x", date=MONDAY[1]), said(MONDAY[1], 5, None)])["missing"] == 1


def test_an_effort_of_zero_is_an_effort() -> None:
    one = only([*week(), dive(id="x", date=MONDAY[1]), said(MONDAY[1], 0, 30)])
    assert (one["load"], one["missing"], one["days"]) == (1500, 0, 5)
    assert one["monotony"] is not None


def test_weeks_run_from_monday_to_sunday_and_the_running_one_has_no_monotony_yet() -> None:
    log = [*week(), dive(id="n", date=NEXT), said(NEXT, 5, 100)]
    old, new = load_of(log, NEXT, BOOK)["weeks"]
    assert (old["first_day"], old["load"], new["first_day"], new["load"]) == (MONDAY[0], 1500, NEXT, 500)
    assert (new["days"], new["days_off"], new["monotony"]) == (1, 0, None)
    assert only(week(), MONDAY[6])["monotony"] is None  # Sunday is not over
    assert only(week(), MONDAY[4])["days_off"] == 1  # today may still be dived, and tomorrow is not yet a day off


def test_days_with_a_deep_dive_stand_beside_the_load() -> None:
    log = [*week(), dive(id="w", date=MONDAY[0], role="warm-up"), dive(id="t", date=MONDAY[1], role="drill")]
    one = only(log)
    assert (one["days"], one["deep_days"], one["days_off"]) == (5, 4, 2)


def test_an_empty_week_between_two_others_is_a_week_of_days_off() -> None:
    log = [*week(), dive(id="l", date="2031-04-16"), said("2031-04-16", 5, 60)]
    weeks = load_of(log, "2031-04-20", BOOK)["weeks"]
    assert [(one["load"], one["days_off"], one["monotony"]) for one in weeks[:2]] == [(1500, 3, 1.0054), (0, 7, None)]


def test_a_long_log_shows_the_last_weeks_only() -> None:
    book = BOOK.with_rules({"looking_back.weeks": 2})
    weeks = load_of([*week(), dive(id="z", date="2031-05-14")], "2031-05-15", book)["weeks"]
    assert [one["first_day"] for one in weeks] == ["2031-05-05", "2031-05-12"]


def test_what_is_dated_after_today_does_not_count_yet() -> None:
    assert load_of([dive(id="f", date="2031-06-01"), said("2031-06-01", 5, 60)], NEXT, BOOK)["weeks"] == []
    one = only(week(), MONDAY[3])
    assert (one["load"], one["days"], one["deep_days"], one["days_off"]) == (1020, 3, 3, 1)


def test_the_later_word_of_two_for_a_day_counts_and_one_that_says_nothing_takes_nothing_away() -> None:
    first, later = said(MONDAY[0], 6, 60), said(MONDAY[0], 7, None, id="b")
    older = {"id": "c", "kind": "day", "date": MONDAY[0], "hold": True}  # from before these fields
    assert only([first, later, older])["load"] == 420


def test_the_formula_the_deviation_and_the_source_are_told_and_no_threshold() -> None:
    found = load_of(week(), NEXT, BOOK)
    assert "n - 1" in found["formula"]
    assert "2001;15:109-115" in found["source"]
    assert "from memory" in found["source"]
    told = " ".join(found["says"])
    assert "no limit" in told
    assert not {"high", "too much", "risk", "safe", "because"} & set(told.lower().replace(".", "").split())


def test_an_empty_log_says_where_the_effort_is_asked() -> None:
    found = load_of([], NEXT, BOOK)
    assert found["weeks"] == []
    assert found["says"][0] == "No dive day is logged yet."
    assert "effort of a whole day" in found["says"][1]
