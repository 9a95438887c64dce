"""The review of a block: counts, an interval from ten dives on, own words, and health in lines of its own."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import day, dive, sheet_of
from support.story import NO_SPACING, season

from webapp.planner.reader.ladder import read
from webapp.readings.review import reviews_of
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
RAW = season(block_days=10, break_days=4, lead=["FIM"], rules=NO_SPACING)  # days 0-9, 14-23, 28-34
SHEET = sheet_of(RAW)


def fim(at: int, target_m: float, reached_m: float | None = None, **more: Any) -> dict[str, Any]:
    fields = {"date": day(at), "target_m": target_m, "reached_m": target_m if reached_m is None else reached_m}
    return dive(**{"id": f"d{at}-{target_m}-{len(more)}", **fields, **more})


def note(at: int, **more: Any) -> dict[str, Any]:
    plain = {"id": f"r{at}", "kind": "review", "date": day(at), "well": "calm turns", "change": "longer pauses"}
    return {**plain, **more}


def focus(at: int, says: str, discipline: str = "FIM", **more: Any) -> dict[str, Any]:
    plain = {"id": f"f{at}", "kind": "focus", "from": day(at), "discipline": discipline, "says": says, "cue": None}
    return {**plain, **more}


def reviews(log: Any, today: int) -> list[dict[str, Any]]:
    return reviews_of(SHEET, read(SHEET, log, day(today)), log, BOOK, day(today))


LOG = [
    fim(0, 40), fim(0, 20, role="drill", discipline="CWT"), fim(1, 40), fim(3, 42), fim(4, 42, 35, turned_why="ears"),
    fim(6, 46, signs=["ears_slow"]), fim(15, 44),
]  # fmt: skip


def test_a_block_counts_its_own_dives_days_and_deep_days() -> None:
    first, second = reviews(LOG, 16)
    assert (first["number"], first["main"], first["first_day"], first["last_day"]) == (1, "FIM", day(0), day(9))
    assert (first["dives"], first["days"], first["deep_days"], first["is_over"]) == (6, 5, 5, True)
    assert (second["dives"], second["days"], second["is_over"]) == (1, 1, False)
    assert first["best"] == {"discipline": "FIM", "depth_m": 42, "on": day(3)}
    assert first["says"][0] == "Block 1, FIM, 28 Mar to 6 Apr: 6 dives on 5 days, 5 with a deep dive."


def test_a_block_is_not_over_on_its_last_day_and_one_to_come_has_no_review() -> None:
    assert [one["is_over"] for one in reviews(LOG, 9)] == [False]
    assert [one["is_over"] for one in reviews(LOG, 10)] == [True]
    assert len(reviews(LOG, 34)) == 3


def test_deep_dives_of_the_main_discipline_are_counted_by_depth_and_a_few_have_no_interval() -> None:
    other = [fim(2, 41, role="warm-up"), fim(2, 41, discipline="CWT")]
    (first,) = reviews([*LOG, *other], 9)
    assert first["clean_by_depth"] == [
        {"from_m": 40, "to_m": 44.9, "clean": 3, "of": 4, "low": None, "high": None},
        {"from_m": 45, "to_m": 49.9, "clean": 0, "of": 1, "low": None, "high": None},
    ]
    assert "FIM 40 to 44.9 m: 3 of 4 dives clean." in first["says"]
    assert "%" not in " ".join(first["says"])


# source: Wilson 95 % of 10 of 10, reproduced with another program: 0.722467 to 1
def test_from_ten_dives_on_a_depth_has_its_interval_and_the_page_says_that_dives_of_a_day_are_not_independent() -> None:
    log = [fim(at, 40, id=f"w{at}{other}") for at in range(5) for other in "ab"]
    (first,) = reviews(log, 9)
    (row,) = first["clean_by_depth"]
    assert (row["clean"], row["of"], row["high"]) == (10, 10, 1)
    assert row["low"] == pytest.approx(0.722467, abs=1e-4)
    assert "FIM 40 to 44.9 m: 10 of 10 dives clean (as a share, 72 to 100 % with this few dives)." in first["says"]
    assert any("not independent" in sentence for sentence in first["says"])
    assert reviews(log[1:], 9)[0]["clean_by_depth"][0]["low"] is None


def test_signs_reasons_and_illness_stand_in_lines_of_their_own_and_nowhere_else() -> None:
    log = [
        *LOG, {"id": "n", "kind": "day", "date": day(8), "to": day(16), "no_diving": "sick"},
        {"id": "m", "kind": "day", "date": day(9), "no_diving": "sick"},
        {"id": "w", "kind": "day", "date": day(7), "no_diving": "weather"},
        {"id": "c", "kind": "clearance", "clearance": day(12), "by": "Dr. Invented"},
        {"id": "b", "kind": "clearance", "clearance": day(5), "by": "Dr. Invented"},
    ]  # fmt: skip
    first, second = reviews(log, 20)
    assert first["health"] == [
        "Ears slow: 1 dive.", "Turned, ears: 1 dive.", "No diving, sick: 2 days.", "Doctor's clearance on 2 Apr.",
    ]  # fmt: skip
    assert second["health"] == ["No diving, sick: 3 days."]
    told = " ".join(first["says"]).lower()
    assert not [word for word in ("ear", "sick", "doctor", "turned", "sign") if re.search(rf"\b{word}", told)]


def test_the_focus_of_a_block_is_what_it_began_with_and_what_was_set_in_it() -> None:
    log = [
        focus(-20, "first"), focus(-2, "slow arms"), focus(0, "", "CWT", cue="knee"), focus(5, " long glide "),
        focus(11, "too late"),
    ]  # fmt: skip
    assert reviews(log, 12)[0]["focus"] == ["FIM: slow arms", "CWT: Small bend of the knee", "FIM: long glide"]


def test_own_words_go_with_the_block_that_their_day_lies_in() -> None:
    log = [note(9), note(4, well="old", id="o"), note(23, well="of the second", change="")]
    first, second, third = reviews(log, 34)
    assert (first["well"], first["change"], first["record"]) == ("calm turns", "longer pauses", "r9")
    assert (second["well"], second["change"], second["record"]) == ("of the second", "", "r23")
    assert (third["well"], third["change"], third["record"]) == ("", "", None)


def test_the_next_block_is_told_and_the_last_has_none() -> None:
    first, _, third = reviews([], 34)
    assert first["next"] == {"first_day": day(14), "main": "FIM", "last_day": day(23)}
    assert first["says"][-1] == "Next block: FIM, 11 Apr to 20 Apr."
    assert third["next"] is None
    assert third["says"] == ["Block 3, FIM, 25 Apr to 1 May: no dive is logged."]


def test_new_bests_and_goals_of_the_block_are_told_with_their_day() -> None:
    (first,) = reviews([fim(0, 44), fim(1, 46)], 9)
    told = [sentence for sentence in first["says"] if sentence.startswith(("28 Mar:", "29 Mar:"))]
    assert len(told) == 2, first["says"]
    assert "44 m" in told[0]
    assert "46 m" in told[1]


def test_what_is_dated_after_today_does_not_count_yet_and_without_a_season_there_is_no_review() -> None:
    assert reviews([*LOG, fim(8, 60)], 7)[0]["dives"] == 6
    assert reviews_of(None, None, LOG, BOOK, day(9)) == []


@given(
    st.integers(-10, 50), st.lists(st.tuples(st.integers(-10, 50), st.integers(20, 60), st.integers(0, 9)), max_size=12)
)
def test_every_dive_of_a_begun_block_is_in_exactly_one_review_and_the_answer_is_plain(today: int, deeds: Any) -> None:
    log = [fim(at, m, max(1, m - short), id=f"h{i}") for i, (at, m, short) in enumerate(sorted(deeds))]
    found = reviews(log, today)
    spans = [(one["first_day"], one["last_day"]) for one in found]
    held = [one for one in log if any(a <= one["date"] <= b for a, b in spans) and one["date"] <= day(today)]
    assert sum(one["dives"] for one in found) == len(held)
    assert sum(row["of"] for one in found for row in one["clean_by_depth"]) == len(held)
    json.dumps(found, allow_nan=False)
