"""The spread over the days to come is what the real reader makes of every course that the dives may take."""

from __future__ import annotations

from collections import defaultdict
from itertools import accumulate
from typing import Any

import numpy as np
import pytest
from support.seasons import day, dive, sheet_of, without_cards

from webapp.forecast.chances import Chances, scale_of
from webapp.forecast.places import Outcome
from webapp.forecast.season import Season, begin_of
from webapp.planner.reader.ladder import read

TURNED_SHARE, LOST, TAXING, HARD = 0.85, 0.2, 0.3, 0.4
POINTS = Chances(
    middle=np.array([1.5, 9.0]), slope=np.array([0.13, 0.37]), lapse=np.array([0.1, 0.02]), weight=np.array([0.3, 0.7]),
    taxing=TAXING, hard=HARD, near_days=0, rise=0.5,
)  # fmt: skip
SEASON: dict[str, Any] = {
    "first_day": day(0), "last_day": day(5), "days_on": 3, "days_off": 1, "closed_days": [], "block_days": 60,
    "break_days": 0, "site": {"name": "Invented Bay", "bottom_m": 150}, "lead": ["FIM"], "drill": None,
    "disciplines": [
        {
            "discipline": "FIM", "step_m": 2, "repeats": 2, "repeats_below_best": 1, "best_m": 48, "comfortable_m": 46,
            "comfortable_on": day(-2), "goals": {"floor_m": 48, "aim_m": 51, "dream_m": 60},
        }
    ],
    "rules": {},
}  # fmt: skip


def level(**fields: Any) -> dict[str, Any]:
    return {**SEASON["disciplines"][0], **fields}


STORIES: dict[str, dict[str, Any]] = {
    "three on, one off": {},
    "every day, deep enough to need rest": {"days_on": 5, "disciplines": [level(best_m=80, comfortable_m=78)]},
    "a run-in after a break": {"block_days": 2, "break_days": 5, "last_day": day(9)},
    "a long time away": {"disciplines": [level(comfortable_on=day(-60))]},
    "one clean dive a rung below the best": {"disciplines": [level(best_m=54, repeats=3)]},
    "a change on the way": {
        "changes": [{"from": day(3), "set": {"disciplines": [level(step_m=1, repeats=3)]}, "why": "invented"}]
    },
    "spacing of its own": {"rules": {"spacing": [{"to_m": 47, "min_days": 1, "max_in_a_row": 2},
                                                 {"min_days": 2, "max_in_a_row": 1}]}},
}  # fmt: skip
LOGS: dict[str, list[dict[str, Any]]] = {
    "nothing dived yet": [],
    "stepped down just before": [
        dive(id=f"d{at}", date=day(at), target_m=46, reached_m=38, at="10:00", turned_why="mind") for at in (0, 1)
    ],
    "an LMC before the season": [dive(id="old", date=day(-6), reached_m=44, target_m=44, signs=["lmc"])],
}


@pytest.mark.parametrize("log", LOGS.values(), ids=LOGS)
@pytest.mark.parametrize("changes", STORIES.values(), ids=STORIES)
def test_every_course_of_the_next_days_counts_as_the_reader_has_it(
    changes: dict[str, Any], log: list[dict[str, Any]]
) -> None:
    sheet = without_cards(sheet_of({**SEASON, **changes}))
    today = day(2) if log and log[-1]["date"] >= day(0) else day(0)
    begin = begin_of(sheet, log, today)
    assert begin is not None
    told = Season(begin, {"FIM": POINTS}, LOST, Outcome("turned", TURNED_SHARE, False), 0).run()["FIM"]
    before = dict(zip([one.date for one in told], accumulate((one.dives for one in told), initial=0.0), strict=False))
    rungs, goals, dives, bad = told_by_the_reader(sheet, log, today, before)
    # a change to shorter rungs moves what sent the diver down further off than a place remembers
    least = 2e-3 if "changes" in changes else 1e-9
    assert {key: told[-1].rung.get(key, 0) for key in rungs} == pytest.approx(rungs, abs=least)
    assert sum(told[-1].rung.values()) == pytest.approx(1, abs=1e-9)
    assert told[-1].goals == pytest.approx(goals, abs=least)
    assert sum(one.dives for one in told) == pytest.approx(dives, abs=least)
    assert sum(one.not_clean for one in told) == pytest.approx(bad, abs=least)


Sums = tuple[dict[float, float], dict[int, float], float, float]


def told_by_the_reader(sheet: dict[str, Any], log: list[dict[str, Any]], today: str, before: dict[str, float]) -> Sums:
    """Dive every course that the days to come may take, one by one, by the public reader.

    `before` is the mean number of dives before each day: with it the middle rises.
    """
    rungs: dict[float, float] = defaultdict(float)
    goals: dict[int, float] = defaultdict(float)
    sums = {"dives": 0.0, "bad": 0.0}
    coming = [slot["date"] for slot in sheet["days"] if slot["kind"] == "dive" and slot["date"] >= today]
    scale, weight = scale_of(sheet["disciplines"]["FIM"] if not sheet["past"] else first_ladder(sheet)), POINTS.weight

    def dived(at: int, log: list[dict[str, Any]], share: Any) -> None:
        if at == len(coming):
            plan = read(sheet, log, day(200))
            ladder = plan["disciplines"]["FIM"]
            rungs[ladder["rung_m"]] += float(share @ weight)
            goals[sum(goal["on"] is not None for goal in ladder["goals"].values())] += float(share @ weight)
            return
        deep = target_of(sheet, log, coming[at])
        if deep is None:
            dived(at + 1, log, share)
            return
        clean = POINTS.clean(np.array([scale.beyond(deep) - POINTS.rise * before[coming[at]]]))[0]
        sums["dives"] += float(share @ weight) * (1 - LOST)
        sums["bad"] += float((share * (1 - clean)) @ weight) * (1 - LOST)
        for part, fields in deeds(deep, clean):
            more = [dive(id=f"n{at}", date=coming[at], target_m=deep, at="10:00", **fields)] if fields else []
            dived(at + 1, [*log, *more], share * part)

    dived(0, log, np.ones(2))
    return dict(rungs), dict(goals), sums["dives"], sums["bad"]


def deeds(deep: float, clean: Any) -> list[tuple[Any, dict[str, Any]]]:
    dived = 1 - LOST
    return [
        (LOST, {}),
        (dived * clean * (1 - TAXING), {"reached_m": deep}),
        (dived * clean * TAXING, {"reached_m": deep, "effort": 7}),
        (dived * (1 - clean) * HARD, {"reached_m": deep, "effort": 8}),
        (dived * (1 - clean) * (1 - HARD), {"reached_m": deep * TURNED_SHARE, "turned_why": "mind"}),
    ]


def target_of(sheet: dict[str, Any], log: list[dict[str, Any]], on: str) -> float | None:
    """Return the deep target of a morning."""
    until = [slot for slot in sheet["days"] if slot["date"] <= on]
    dives = read({**sheet, "days": until}, log, on)["days"][-1]["dives"]
    return next((one["target_m"] for one in dives if one["role"] == "deep"), None)


def first_ladder(sheet: dict[str, Any]) -> dict[str, Any]:
    return {**sheet["disciplines"], **sheet["past"][0].get("disciplines", {})}["FIM"]
