"""Where a forecast may find a diver on a dive day to come, and what a deep dive of that day may come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from ..planner.reader.comfort import Idle
from ..planner.reader.daylist import Wanted
from ..planner.reader.limit import Limit
from ..planner.reader.standing import Standing


class Outcome(NamedTuple):
    """What a deep dive may come to in a forecast: the verdict, the share of its target, and whether it taxes.

    Harm is none of them: it is never forecast.
    """

    verdict: str
    share: float
    taxes: bool


CLEAN, TAXING, HARD = Outcome("clean", 1, False), Outcome("clean", 1, True), Outcome("hard", 1, True)


class Ladder(NamedTuple):
    """Where a diver stands on one ladder.

    `deepest` are the depths that make the comfortable one, empty where no coming pause asks for it; `away_days` count
    from the last dive near it, 0 while that is no time away; `goals` is how many goals were reached.
    """

    standing: Standing
    deepest: tuple[float, ...]
    away_days: int
    goals: int


class Pause(NamedTuple):
    """What the deep dives and days off so far ask of the next deep dive, of any discipline. Days count from today."""

    gap: int | None
    streak: int
    streak_m: float
    until: int
    taxing: int
    idle: Idle
    limit: Limit | None


@dataclass(frozen=True)
class Opened:
    """The deep dive with which a day may begin: as the reader wants it, and its depth."""

    wanted: Wanted
    depth_m: float
