"""Progress: planned and done by date, beside earlier seasons."""

from __future__ import annotations

from typing import Any

from support.seasons import day, dive
from support.story import NO_SPACING, logged, plan, season

from webapp.readings.progress import progress_of
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
RAW = season(rules=NO_SPACING)
SEASONS = [
    {"name": "Wall, spring", "first_day": day(0), "last_day": day(34), "is_active": True},
    {"name": "Bay, October", "first_day": day(-170), "last_day": day(-129), "is_active": False},
    {"name": "Lake, summer", "first_day": day(60), "last_day": day(90), "is_active": False},
    {"name": "Pier, autumn", "first_day": day(-250), "last_day": day(-240), "is_active": False},
]
LOG = [
    *[
        dive(id=f"e{at}", date=day(at), target_m=m, reached_m=m, **more)
        for at, m, more in (
            (-170, 36, {}), (-168, 40, {}), (-167, 38, {}), (-166, 44, {"signs": ["ears_slow"]}), (-160, 43, {}),
            (-100, 45, {}),
        )
    ],
    *logged(
        (0, "FIM", {"role": "deep", "target_m": 40}), (0, "CWT", {"role": "drill", "target_m": 22}),
        (1, "FIM", {"role": "deep", "target_m": 40, "reached_m": 30}),
    ),
]  # fmt: skip


def fim(today: int = 2, log: Any = LOG) -> dict[str, Any]:
    return progress_of(SEASONS, plan(RAW, log, today), log, BOOK, day(today))["disciplines"]["FIM"]


def test_deep_dives_stand_by_date_as_planned_and_as_done() -> None:
    found = fim()
    assert (found["first_day"], found["last_day"]) == (day(0), day(34))
    assert found["done"] == [
        {"date": day(0), "depth_m": 40, "verdict": "clean"}, {"date": day(1), "depth_m": 30, "verdict": "turned"},
    ]  # fmt: skip
    assert found["planned"][:3] == [{"date": day(at), "depth_m": 40} for at in (0, 1, 3)]
    depths = [one["depth_m"] for one in found["planned"]]
    assert depths == sorted(depths)
    assert found["goals"] == [
        {"name": "floor", "depth_m": 44}, {"name": "aim", "depth_m": 50}, {"name": "dream", "depth_m": 58},
    ]  # fmt: skip


def test_the_season_so_far_and_earlier_ones_are_their_best_clean_dives_by_day_of_the_season() -> None:
    found = fim()
    assert found["so_far"] == [{"day": 0, "depth_m": 40}]
    assert found["earlier"] == [
        {
            "name": "Bay, October",
            "marks": [{"day": 0, "depth_m": 36}, {"day": 2, "depth_m": 40}, {"day": 10, "depth_m": 43}],
            "days": 42,
        }
    ]


def test_a_season_that_began_later_is_no_earlier_one() -> None:
    log = [*LOG, dive(id="l", date=day(61), target_m=30, reached_m=30)]
    assert [one["name"] for one in fim(70, log)["earlier"]] == ["Bay, October"]


def test_two_clean_dives_of_one_day_are_one_mark() -> None:
    log = [*LOG, dive(id="x", date=day(-168), at="15:00", target_m=41, reached_m=41)]
    assert fim(log=log)["earlier"][0]["marks"][1] == {"day": 2, "depth_m": 41}


def test_the_best_is_that_of_the_plan_and_a_dive_dated_later_is_no_best_yet() -> None:
    assert fim()["best_m"] == plan(RAW, LOG, 2)["disciplines"]["FIM"]["best_m"]
    late = [*LOG, dive(id="f", date=day(9), target_m=55, reached_m=55)]
    assert fim(log=late)["so_far"] == [{"day": 0, "depth_m": 40}]


def test_without_a_season_there_is_no_picture_and_an_empty_log_has_only_the_plan() -> None:
    assert progress_of(SEASONS, None, LOG, BOOK, day(2)) == {"disciplines": {}}
    found = fim(0, [])
    assert (found["done"], found["so_far"], found["earlier"]) == ([], [], [])
    assert found["planned"]
