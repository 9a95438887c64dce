"""A season proposed from a few values: always one that the check accepts."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import day, dive, sheet_of
from support.story import season

from webapp.planner.proposal import Known, is_clean, known_from, name_of, proposed
from webapp.planner.reader.verdict import judge
from webapp.records.model import DISCIPLINES
from webapp.records.season import check_season
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
DEPTH = st.floats(0.5, 200).map(lambda depth_m: round(depth_m, 1))


def level(discipline: str = "FIM", **changes: Any) -> dict[str, Any]:
    plain = {"discipline": discipline, "comfortable_m": 38, "comfortable_on": day(-9), "goal_m": 48}
    return {**plain, **changes}


def wish(days: int = 28, *levels: dict[str, Any], bottom_m: float = 55) -> dict[str, Any]:
    site = {"name": "Holm Rock", "bottom_m": bottom_m}
    return {"first_day": day(0), "last_day": day(days - 1), "site": site, "levels": list(levels) or [level()]}


@st.composite
def wishes(draw: st.DrawFn) -> dict[str, Any]:
    names = draw(st.lists(st.sampled_from(DISCIPLINES), min_size=1, max_size=2, unique=True))
    levels = [
        level(
            name, comfortable_m=draw(DEPTH), comfortable_on=day(-draw(st.integers(0, 900))),
            goal_m=draw(st.none() | DEPTH),
        )
        for name in names
    ]  # fmt: skip
    return wish(draw(st.integers(1, 400)), *levels, bottom_m=draw(st.integers(6, 250)))


@given(wishes(), st.dictionaries(st.sampled_from(DISCIPLINES), DEPTH))
def test_a_proposal_is_always_accepted_and_its_blocks_lie_within_the_window_and_apart(
    asked: dict[str, Any], bests: dict[str, float]
) -> None:
    raw = proposed(asked, bests, BOOK)
    made = check_season(raw, BOOK)

    assert (made.blocks[0].first_day, made.blocks[-1].last_day) == (asked["first_day"], asked["last_day"])
    for before, after in zip(made.blocks, made.blocks[1:], strict=False):
        pause = (date.fromisoformat(after.first_day) - date.fromisoformat(before.last_day)).days - 1
        assert BOOK.value("setup.least_break_days") <= pause <= BOOK.value("setup.most_break_days")
    assert all(one.best_m >= (one.comfortable_m or 0) for one in made.levels)
    assert {block.main for block in made.blocks} <= {one.discipline for one in made.levels}


@given(
    wishes(), st.sampled_from(["first_day", "last_day"]), st.sampled_from([None, "", "soon", "0001-01-01", day(-500)])
)
def test_a_wish_that_is_no_season_is_left_for_the_check_to_name(asked: dict[str, Any], name: str, text: str) -> None:
    proposed({**asked, name: text}, {}, BOOK)


@pytest.mark.parametrize(
    ("days", "lengths"), [(1, [1]), (35, [35]), (36, [16, 15]), (47, [21, 21]), (49, [21, 21]), (60, [27, 26])]
)
def test_a_short_season_is_one_block_and_a_longer_one_two_of_about_three_weeks(days: int, lengths: list[int]) -> None:
    blocks = check_season(proposed(wish(days), {}, BOOK), BOOK).blocks
    assert [
        (date.fromisoformat(one.last_day) - date.fromisoformat(one.first_day)).days + 1 for one in blocks
    ] == lengths


def test_drills_are_half_the_comfortable_depth_of_the_other_discipline_or_of_the_only_one() -> None:
    one = proposed(wish(28), {}, BOOK)["blocks"]
    two = proposed(wish(47, level(), level("CNF", comfortable_m=24)), {}, BOOK)["blocks"]

    assert [(block["main"], block["drills"][0]["discipline"]) for block in [*one, *two]] == [
        ("FIM", "FIM"), ("FIM", "CNF"), ("CNF", "FIM"),
    ]  # fmt: skip
    assert {block["drills"][0]["share"] for block in [*one, *two]} == {0.5}


def test_both_speeds_are_the_rulebooks_and_the_best_is_the_comfortable_depth_or_the_logs_deepest_clean_dive() -> None:
    (plain,), (deeper,) = (proposed(wish(), bests, BOOK)["disciplines"] for bests in ({}, {"FIM": 41.5, "CNF": 60}))

    assert (plain["best_m"], deeper["best_m"]) == (38, 41.5)
    assert (plain["step_m"], plain["repeats_below_best"], plain["repeats"]) == (2, 1, 3)


def test_own_rules_count_for_the_proposal() -> None:
    own = BOOK.with_rules({"setup.days_on": 3, "setup.one_block_days": 60})
    (block,) = proposed(wish(60), {}, own)["blocks"]
    assert block["days_on"] == 3


def test_a_season_is_called_by_its_site_and_month() -> None:
    asked = wish()
    assert name_of(asked) == f"Holm Rock, {date.fromisoformat(day(0)):%B %Y}"
    assert name_of({**asked, "site": {}, "first_day": "soon"}) == "Season"


def test_the_log_gives_the_deepest_depth_with_enough_clean_dives_lately_its_date_and_the_best() -> None:
    log = [
        dive(id="a", date=day(-100), reached_m=44), dive(id="b", date=day(-9), reached_m=40),
        dive(id="c", date=day(-8), reached_m=39), dive(id="d", date=day(-5), reached_m=41),
        dive(id="e", date=day(-3), reached_m=43, signs=["ears_slow"]), dive(id="f", date=day(3), reached_m=50),
        dive(id="g", date=day(-2), discipline="CNF", reached_m=20),
        {"id": "h", "kind": "clearance", "clearance": day(-20), "by": "Dr. Invented"},
    ]  # fmt: skip
    assert known_from(log, day(0), BOOK) == [Known("FIM", 39, day(-5), 44), Known("CNF", None, None, 20)]


@given(
    st.none() | st.integers(0, 10), st.none() | st.sampled_from([20, 20.4, 20.5, 20.6, 25]),
    st.lists(st.sampled_from(sorted(BOOK.texts["sign"])), max_size=2),
)  # fmt: skip
def test_clean_means_the_same_as_for_the_reader(effort: int | None, target_m: float | None, signs: list[str]) -> None:
    one = dive(effort=effort, target_m=target_m, signs=signs)
    assert is_clean(one, BOOK) == (judge(sheet_of(season()), one).name == "clean")


def test_the_day_after_the_last_of_a_block_is_its_break() -> None:
    first, second = proposed(wish(49), {}, BOOK)["blocks"]
    gap = date.fromisoformat(second["first_day"]) - date.fromisoformat(first["last_day"])
    assert gap == timedelta(days=8)
