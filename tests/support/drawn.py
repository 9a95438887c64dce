"""Seasons drawn by chance and dived day by day through the real reader: what the exact spread is compared with."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from random import Random
from statistics import fmean, stdev
from typing import Any

import numpy as np

from support.seasons import day, dive, sheet_of, without_cards
from webapp.forecast.chances import Chances, Scale, scale_of
from webapp.forecast.places import Outcome
from webapp.forecast.season import Season, begin_of
from webapp.planner.reader.boat_day import NOTHING
from webapp.planner.reader.ladder import Fold
from webapp.planner.reader.sentences import number

Json = dict[str, Any]
NEVER_TODAY = day(400)  # every day of the season lies behind it: nothing is assumed to be dived
TURNED_SHARE, TAXING_EFFORT, HARD_EFFORT = 0.85, 7, 8


MOST_ERRORS, LOST = 4, 0.15
POINTS = Chances(
    middle=np.array([1.5, 9.0, 18.0]), slope=np.array([0.13, 0.37, 0.23]), lapse=np.array([0.1, 0.02, 0.2]),
    weight=np.array([0.3, 0.5, 0.2]), taxing=0.2, hard=0.4, near_days=0, rise=0.4,
)  # fmt: skip
STORIES = {"near 50 m, up to three days in a row": 46.0, "near 75 m, with days between deep dives": 72.0}


def season(best_m: float, last: int = 15) -> dict[str, Any]:
    """Return a season of twelve dive days."""
    level = {
        "discipline": "FIM", "step_m": 2, "repeats": 2, "repeats_below_best": 1, "best_m": best_m,
        "comfortable_m": best_m - 2, "comfortable_on": day(-2),
        "goals": {"floor_m": best_m + 1, "aim_m": best_m + 4, "dream_m": best_m + 9},
    }  # fmt: skip
    return without_cards(sheet_of({
        "first_day": day(0), "last_day": day(last), "days_on": 3, "days_off": 1, "closed_days": [], "block_days": 60,
        "break_days": 0, "site": {"name": "Invented Bay", "bottom_m": 150}, "lead": ["FIM"], "drill": None,
        "disciplines": [level], "rules": {},
    }))  # fmt: skip


@dataclass
class Counts:
    """How many seasons ended where, with so many goals, and their dives."""

    seasons: int = 0
    rungs: Counter[float] = field(default_factory=Counter)
    goals: Counter[int] = field(default_factory=Counter)
    dives: list[int] = field(default_factory=list)
    not_clean: list[int] = field(default_factory=list)


def drawn(sheet: Json, chances: Chances, lost: float, seasons: int, seed: str) -> Counts:
    """Dive so many seasons of FIM."""
    chance, found, scale = Random(seed), Counts(), scale_of(sheet["disciplines"]["FIM"])
    for _ in range(seasons):
        at = chance.choices(range(len(chances.weight)), chances.weight.tolist())[0]
        rates = tuple(float(values[at]) for values in (chances.middle, chances.slope, chances.lapse))
        _dived(sheet, Diving(chance, scale, rates, chances, lost), found)
    return found


@dataclass(frozen=True)
class Diving:
    """How the dives of one season are drawn."""

    chance: Random
    scale: Scale
    rates: tuple[float, float, float]
    chances: Chances
    lost: float

    def deed(self, target_m: float, dives: int) -> Json:
        """Return how a dive to this target went, as fields of its record, after so many of the season before it."""
        middle, slope, lapse = self.rates
        risen = middle + self.chances.rise * dives
        clean = (1 - lapse) / (1 + np.exp(slope * (self.scale.beyond(target_m) - risen)))
        if self.chance.random() < clean:
            is_taxing = self.chance.random() < self.chances.taxing
            return {"reached_m": target_m, "effort": TAXING_EFFORT if is_taxing else None}
        if self.chance.random() < self.chances.hard:
            return {"reached_m": target_m, "effort": HARD_EFFORT}
        return {"reached_m": target_m * TURNED_SHARE, "turned_why": "mind"}


def _dived(sheet: Json, diving: Diving, found: Counts) -> None:
    """Dive one season: each morning's deep target by the reader, and what came of it."""
    fold, dives, bad, best_m = Fold(sheet, [], NEVER_TODAY), 0, 0, 0.0
    for slot in sheet["days"]:
        target_m = _target(fold, slot)
        if target_m is None or diving.chance.random() < diving.lost:
            fold.day(slot, [])
            continue
        deed = diving.deed(target_m, dives)
        day = fold.day(slot, [dive(id=f"d{dives:02}", date=slot["date"], target_m=target_m, at="10:00", **deed)])
        assert day["dives"][-1]["target_m"] == target_m, "the day's own plan has this deep dive"
        is_clean = day["done"][0]["verdict"] == "clean"
        best_m = max(best_m, target_m) if is_clean else best_m
        dives, bad = dives + 1, bad + (not is_clean)
    found.seasons += 1
    found.rungs[fold.state.rung_m("FIM", fold.state.now["FIM"].rung)] += 1
    found.goals[sum(goal_m <= best_m for _, goal_m in sheet["disciplines"]["FIM"]["goals"])] += 1
    found.dives.append(dives)
    found.not_clean.append(bad)


def _target(fold: Fold, slot: Json) -> float | None:
    """Return the deep target of a morning; None on a day without one."""
    if slot["kind"] != "dive":
        return None
    n = number(slot["date"])
    fold.state.led_by(slot["lead"])
    wanted = fold.state.wanted(n, NOTHING)
    return fold.state.rung_m("FIM", wanted.rung) if fold.kind(slot, n, wanted, NOTHING)[0] == "deep" else None


def exact(sheet: Json, chances: Chances, lost: float) -> tuple[dict[float, float], dict[int, float], float, float]:
    """Return the same by the exact spread: the rungs at the end, the goals, the dives, and those not clean."""
    begin = begin_of(sheet, [], sheet["days"][0]["date"])
    assert begin is not None
    told = Season(begin, {"FIM": chances}, lost, Outcome("turned", TURNED_SHARE, False), 0).run()["FIM"]
    return told[-1].rung, told[-1].goals, sum(one.dives for one in told), sum(one.not_clean for one in told)


def errors_away(count: int, of: int, chance: float) -> float:
    """Return how many standard errors a share lies from its chance."""
    error = (max(chance * (1 - chance), 1 / of) / of) ** 0.5
    return abs(count / of - chance) / error


def agrees(sheet: dict[str, Any], seasons: int) -> float:
    """Compare every figure within four standard errors; return the largest distance in them."""
    assert sum(slot["kind"] == "dive" for slot in sheet["days"]) == 12
    found = drawn(sheet, POINTS, LOST, seasons, "monte carlo 1")
    rungs, goals, dives, not_clean = exact(sheet, POINTS, LOST)
    assert set(found.rungs) <= set(rungs)
    assert set(found.goals) <= set(goals)
    away = [errors_away(found.rungs[depth_m], seasons, chance) for depth_m, chance in rungs.items()]
    away += [errors_away(found.goals[count], seasons, chance) for count, chance in goals.items()]
    for each, mean in ((found.dives, dives), (found.not_clean, not_clean)):
        away.append(abs(fmean(each) - mean) / (stdev(each) / seasons**0.5))
    assert max(away) < MOST_ERRORS, (found, rungs, goals, dives, not_clean)
    return max(away)
