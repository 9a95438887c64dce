"""Bests: the deepest clean dives of all seasons, and what the next season's set-up starts from."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from support.seasons import SIGNS, day, dive

from webapp.planner.proposal import known_from, proposed
from webapp.readings.bests import bests_of
from webapp.records.season import check_season
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
SEASONS = [
    {"name": "Bay, October", "first_day": day(-170), "last_day": day(-140), "is_active": False},
    {"name": "Wall, spring", "first_day": day(0), "last_day": day(34), "is_active": True},
]


def cwt(at: int, target_m: float, reached_m: float | None = None, **more: Any) -> dict[str, Any]:
    fields = {"date": day(at), "target_m": target_m, "reached_m": target_m if reached_m is None else reached_m}
    return dive(id=f"d{at}-{target_m}", **{"discipline": "CWT", **fields, **more})


LOG = [
    cwt(-160, 50), cwt(-155, 57), cwt(-150, 57), cwt(-149, 60, signs=["ears_slow"]), cwt(-100, 54, discipline="FIM"),
    cwt(1, 48), cwt(2, 62, 55), cwt(3, 61, effort=8), cwt(4, 52),
]  # fmt: skip


def test_the_best_is_the_deepest_clean_dive_of_all_seasons_and_its_history_has_each_step_once() -> None:
    found = bests_of(LOG, BOOK, SEASONS)
    assert found["rows"] == [
        {
            "discipline": "CWT", "depth_m": 57, "on": day(-155), "season": "Bay, October",
            "history": [{"depth_m": 50, "on": day(-160)}, {"depth_m": 57, "on": day(-155)}],
        },
        {
            "discipline": "FIM", "depth_m": 54, "on": day(-100), "season": None,
            "history": [{"depth_m": 54, "on": day(-100)}],
        },
    ]  # fmt: skip
    assert "Clean dives only" in found["says"]


def test_hard_turned_and_signed_dives_are_no_bests() -> None:
    log = [cwt(0, 60, effort=8), cwt(1, 60, 59.4), cwt(2, 60, signs=["cough"])]
    assert bests_of(log, BOOK) == {"rows": [], "says": "No clean dive is logged yet."}
    assert bests_of([cwt(1, 60, 59.5)], BOOK)["rows"][0]["depth_m"] == 59.5


def test_a_log_file_out_of_order_has_the_same_history() -> None:
    assert bests_of(LOG[::-1], BOOK, SEASONS) == bests_of(LOG, BOOK, SEASONS)


def test_the_next_season_starts_from_the_best_of_an_earlier_one() -> None:
    """57 m was half a year ago: the recent weeks give the comfortable depth, never the best."""
    bests = {one.discipline: one.best_m for one in known_from(LOG, day(40), BOOK)}
    assert bests == {"CWT": 57, "FIM": 54}
    level = {"discipline": "CWT", "comfortable_m": 48, "comfortable_on": day(4), "goal_m": 60}
    site = {"name": "Holm Rock", "bottom_m": 70}
    raw = proposed({"first_day": day(60), "last_day": day(80), "site": site, "levels": [level]}, bests, BOOK)
    (checked,) = check_season(raw, BOOK).levels
    assert (checked.best_m, checked.comfortable_m) == (57, 48)


DIVES = st.builds(
    lambda at, name, target_m, short, effort, signs: cwt(
        at, target_m, max(0.5, round(target_m - short, 2)), discipline=name, effort=effort, signs=signs
    ),
    st.integers(-400, 0), st.sampled_from(["CWT", "FIM", "CNF"]), st.integers(5, 90),
    st.sampled_from([0, 0, 0.5, 0.6, 9]), st.none() | st.integers(5, 9), st.lists(st.sampled_from(SIGNS), max_size=1),
)  # fmt: skip


@given(st.lists(DIVES, max_size=15))
def test_bests_are_always_those_of_the_set_up_and_their_history_rises(log: Any) -> None:
    rows = bests_of(log, BOOK)["rows"]
    known = {one.discipline: one.best_m for one in known_from(log, day(0), BOOK)}
    assert {row["discipline"]: row["depth_m"] for row in rows} == known
    for row in rows:
        depths = [one["depth_m"] for one in row["history"]]
        assert depths == sorted(set(depths))
        assert row["history"][-1] == {"depth_m": row["depth_m"], "on": row["on"]}
