"""What limits: counts by depth of what divers noted, never a share of a few dives and never a cause."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import SIGNS, day, dive

from webapp.planner.proposal import is_clean
from webapp.readings.limits import groups_of, limits_of
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
GROUPS = ("ears", "chest", "urge", "mind", "outside", "other")
CAUSAL = re.compile(r"%|percent|because|caus|due to|leads? to|result of|makes|safe|should", re.IGNORECASE)


def cwt(at: int, target_m: float | None, reached_m: float | None = None, **more: Any) -> dict[str, Any]:
    """A deep dive of CWT on the day with this offset."""
    fields = {"date": day(at), "target_m": target_m, "reached_m": target_m if reached_m is None else reached_m}
    return dive(id=f"d{at}-{target_m}", discipline="CWT", **{**fields, **more})


EARS = [
    cwt(0, 50), cwt(1, 50, 38, turned_why="ears"), cwt(2, 52, 41, signs=["ears_slow"]),
    cwt(3, 54.9, signs=["ears_stuck"]), cwt(4, 55, signs=["urge_at_bottom"]),
]  # fmt: skip


def test_every_sign_and_every_reason_for_turning_stands_in_exactly_one_group() -> None:
    table = BOOK.texts["limit_group"]
    assert tuple(table) == GROUPS
    assert sorted(code for one in table.values() for code in one["signs"]) == sorted(SIGNS)
    assert sorted(code for one in table.values() for code in one["turned_why"]) == sorted(BOOK.texts["turned_why"])
    outside = {code for code, why in BOOK.texts["turned_why"].items() if why.get("outside")}
    assert set(table["outside"]["turned_why"]) == outside


def test_dives_are_counted_in_the_band_of_what_they_were_for() -> None:
    rows = limits_of(EARS, BOOK)["rows"]
    assert [(row["discipline"], row["from_m"], row["to_m"], row["dives"], row["not_clean"]) for row in rows] == [
        ("CWT", 50, 54.9, 4, 3), ("CWT", 55, 59.9, 1, 1),
    ]  # fmt: skip
    assert rows[0]["reasons"] == {"ears": 3, "chest": 0, "urge": 0, "mind": 0, "outside": 0, "other": 0}
    assert rows[1]["reasons"]["urge"] == 1
    (alone,) = limits_of([cwt(0, None, 31)], BOOK)["rows"]
    assert (alone["from_m"], alone["dives"], alone["not_clean"]) == (30, 1, 0)


def test_the_most_frequent_limit_is_named_with_its_depth_its_count_and_where_the_dives_were_turned() -> None:
    assert limits_of(EARS, BOOK)["says"] == (
        "Noted most often: ears and sinuses, at CWT 50 to 54.9 m: 3 of 4 dives; 2 turned at 38 to 41 m. "
        "Depth is the target, without one the depth reached."
    )
    hard = [cwt(at, 40, signs=["chest_pressure"]) for at in range(3)]
    assert "chest and lungs, at CWT 40 to 44.9 m: 3 of 3 dives. Depth" in limits_of(hard, BOOK)["says"]


def test_few_dives_name_nothing_and_none_say_so() -> None:
    assert "Too few" in limits_of(EARS[:3], BOOK)["says"]
    assert "2 dives" in limits_of(EARS[:3], BOOK)["says"]
    assert limits_of(EARS[:1], BOOK)["says"] == "Every dive so far was clean."
    empty = limits_of([], BOOK)
    assert empty["says"] == "No dive is logged yet."
    assert (empty["rows"], empty["effort"], empty["speeds"], empty["conditions"]) == ([], [], [], [])
    assert list(empty["names"]) == list(GROUPS)


def test_limits_that_come_equally_often_are_named_together() -> None:
    minds = [cwt(10 + at, 60, 45, turned_why="mind") for at in range(3)]
    told = limits_of([*EARS, *minds], BOOK)["says"]
    assert "each 3 times: ears and sinuses at CWT 50 to 54.9 m and mind and narcosis at CWT 60 to 64.9 m." in told


def test_a_dive_with_two_reasons_counts_in_both_groups_and_twice_in_none() -> None:
    both = cwt(0, 50, 30, turned_why="ears", signs=["ears_slow", "ears_stuck", "cough"])
    assert groups_of(both, BOOK) == ["ears", "chest"]
    assert limits_of([both], BOOK)["rows"][0]["not_clean"] == 1


def test_hard_effort_alone_and_a_turn_without_a_reason_are_of_no_named_group() -> None:
    for one in (cwt(0, 50, effort=9), cwt(0, 50, 20), cwt(0, 50, 20, turned_why="cold")):
        assert groups_of(one, BOOK) == ["other"]
        assert not is_clean(one, BOOK)
    told = limits_of([cwt(at, 50, effort=9) for at in range(9)], BOOK)["says"]
    assert "Too few" in told
    assert "other" not in told


def test_equalising_by_a_technique_is_no_reason() -> None:
    for code in BOOK.texts["equalisation"]:
        assert groups_of(cwt(0, 50, 30, equalisation=code, equalised_m=30), BOOK) == ["other"]


def test_the_height_of_a_band_is_the_rulebooks() -> None:
    (row,) = limits_of([cwt(0, 54.9)], BOOK.with_rules({"looking_back.band_m": 10}))["rows"]
    assert (row["from_m"], row["to_m"]) == (50, 59.9)
    (row,) = limits_of([cwt(0, 3.3)], BOOK.with_rules({"looking_back.band_m": 1.1}))["rows"]
    assert row["from_m"] == 3.3  # at an edge: 3.3 / 1.1 is 2.9999999999999996 in floats


# ---- effort


def test_effort_over_time_needs_three_deep_dives_that_reached_the_same_depth() -> None:
    log = [cwt(0, 50, effort=7), cwt(1, 50, 49.6, effort=6), cwt(2, 52, effort=8), cwt(5, 50, effort=5)]
    log += [cwt(6, 55, 50, effort=9), cwt(7, 50), cwt(8, 50, effort=2, role="warm-up")]
    (one,) = limits_of(log, BOOK)["effort"]
    assert (one["discipline"], one["depth_m"]) == ("CWT", 50)
    assert one["marks"] == [{"date": day(at), "effort": effort} for at, effort in ((0, 7), (1, 6), (5, 5))]
    assert one["says"] == "CWT 50 m, 3 dives: effort 7 on 28 Mar, 5 on 2 Apr."
    assert limits_of(log[:2], BOOK)["effort"] == []


# ---- speed


def test_the_speed_by_depth_leaves_out_the_turn_and_the_time_at_the_plate() -> None:
    turn_s = BOOK.value("speed.turn_s")
    log = [cwt(at, 50, dive_s=round(100 / speed + turn_s), hang_s=None) for at, speed in enumerate((0.8, 1.0, 1.25))]
    (one,) = limits_of(log, BOOK)["speeds"]
    assert (one["discipline"], one["from_m"], one["to_m"], one["dives"]) == ("CWT", 50, 54.9, 3)
    assert one["mean_m_s"] == pytest.approx(1.02, abs=0.01)
    assert one["spread_m_s"] == pytest.approx(0.23, abs=0.01)  # sample standard deviation of 0.8, 1.0, 1.25: 0.2255
    (hung,) = limits_of([cwt(0, 50, dive_s=round(100 + turn_s + 20), hang_s=20)], BOOK)["speeds"]
    assert (hung["mean_m_s"], hung["spread_m_s"]) == (1.0, None)


# source: Mulder 2021, seen: 73 m in 150 s is 0.973 m/s over the whole dive
def test_a_published_dive_has_its_published_mean_speed() -> None:
    book = BOOK.with_rules({"speed.turn_s": BOOK.entry("speed.turn_s").min})
    (one,) = limits_of([cwt(0, 73, dive_s=150 + book.value("speed.turn_s"))], book)["speeds"]
    assert one["mean_m_s"] == pytest.approx(0.973, abs=0.005)


def test_descent_and_ascent_alone_are_of_the_dives_whose_arrival_was_noted_and_never_made_up() -> None:
    turn_s = BOOK.value("speed.turn_s")
    (one,) = limits_of([cwt(0, 50, dive_s=105)], BOOK)["speeds"]
    assert (one["descent_m_s"], one["ascent_m_s"]) == (None, None)
    noted = [
        cwt(0, 50, dive_s=50 + turn_s + 10 + 62.5, down_s=50, hang_s=10),  # 1 m/s down, 0.8 m/s up
        cwt(1, 50, dive_s=40 + turn_s + 50, down_s=40),  # 1.25 and 1
        cwt(2, 50, dive_s=100 + turn_s),  # nobody noted the arrival
        cwt(3, 50, dive_s=100 + turn_s, down_s=2),  # no way down takes two seconds; the way up is believed no more
    ]
    (one,) = limits_of(noted, BOOK)["speeds"]
    ups = (0.8, 1.0, 50 / 98)
    assert one["dives"] == 4
    assert one["descent_m_s"] == pytest.approx(1.125, abs=0.006)
    assert one["ascent_m_s"] == pytest.approx(sum(ups) / 3, abs=0.006)


def test_a_time_that_the_plan_filled_in_a_turned_dive_and_an_impossible_time_have_no_speed() -> None:
    log = [
        cwt(0, 50, dive_s=110, time_from="expected"), cwt(1, 50, 20, dive_s=60), cwt(2, 50, dive_s=5),
        cwt(3, 50, dive_s=900), cwt(4, 50, dive_s=None), cwt(5, 20, dive_s=50, role="drill"),
    ]  # fmt: skip
    assert limits_of(log, BOOK)["speeds"] == []


# ---- conditions


def test_days_are_counted_by_their_current_and_those_of_which_nothing_was_said_are_left_out() -> None:
    log = [
        cwt(0, 50, 30), cwt(1, 50), cwt(2, 50, current="strong"), cwt(3, 50, signs=["cough"]), cwt(4, 50, 30),
        {"id": "a", "kind": "day", "date": day(0), "current": "medium"},
        {"id": "b", "kind": "day", "date": day(1), "current": "light"},
        {"id": "c", "kind": "day", "date": day(2), "current": "none"},
        {"id": "d", "kind": "day", "date": day(3), "current": "none", "waves": "flat"},
        {"id": "e", "kind": "day", "date": day(9), "current": "strong"},
    ]  # fmt: skip
    (one,) = limits_of(log, BOOK)["conditions"]
    assert {name: one[name] for name in ("name", "hard_days", "of", "other_days", "of_others")} == {
        "name": "Medium or strong current", "hard_days": 1, "of": 2, "other_days": 1, "of_others": 2,
    }  # fmt: skip
    assert one["says"] == (
        "Medium or strong current: 1 of 2 days had a dive that was not clean; of the other days 1 of 2. "
        "Counts only: they do not say why."
    )


def test_counted_conditions_are_words_of_the_rulebook() -> None:
    for name, counted in BOOK.texts["counted_condition"].items():
        assert set(counted["codes"]) < set(BOOK.texts[name])


DIVES = st.builds(
    lambda at, discipline, target_m, short, more: {
        **cwt(at, target_m, max(0.5, (target_m or 40) - short), **more), "discipline": discipline
    },
    st.integers(0, 30), st.sampled_from(["CWT", "FIM"]), st.none() | st.floats(1, 120).map(lambda m: round(m, 1)),
    st.floats(0, 20).map(lambda m: round(m, 1)),
    st.fixed_dictionaries({
        "effort": st.none() | st.integers(0, 10), "signs": st.lists(st.sampled_from(SIGNS), max_size=3, unique=True),
        "turned_why": st.none() | st.sampled_from(sorted(BOOK.texts["turned_why"])),
        "dive_s": st.none() | st.integers(1, 900), "down_s": st.none() | st.integers(1, 899),
        "hang_s": st.none() | st.integers(0, 300),
        "current": st.none() | st.sampled_from(sorted(BOOK.texts["current"])),
    }),
)  # fmt: skip


@given(st.lists(DIVES, max_size=12))
def test_whatever_was_logged_every_dive_is_counted_once_and_nothing_is_said_in_shares_or_causes(log: Any) -> None:
    found = limits_of(log, BOOK)
    assert sum(row["dives"] for row in found["rows"]) == len(log)
    assert sum(row["not_clean"] for row in found["rows"]) == sum(not is_clean(one, BOOK) for one in log)
    for row in found["rows"]:
        assert row["not_clean"] <= sum(row["reasons"].values())
        assert max(row["reasons"].values()) <= row["not_clean"] <= row["dives"]
    told = [found["says"], *(one["says"] for one in found["effort"]), *(one["says"] for one in found["conditions"])]
    assert not [sentence for sentence in told if CAUSAL.search(sentence)]
    json.dumps(found, allow_nan=False)
