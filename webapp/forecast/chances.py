"""How often this diver's deep dives are clean by depth: a prior that is our own assumption, and what a log adds to it.

The chance of a clean dive at x percent beyond the season's best is (1 - lapse) / (1 + exp(slope (x - middle))): a
logistic curve with a share of days on which nothing works at any depth. Percent are those of the pressure at the best:
3 m more are much for somebody who dives to 40 m and little at 100 m, and how long a step is typed plays no part. The
middle rises a little with each day of deep dives. The three unknowns lie on a grid. A log turns the prior's weights
into posterior ones; whatever is forecast is calculated for each point and then averaged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..planner.reader.verdict import is_outside, judge
from ..rulebook.rulebook import Rulebook

Json = Mapping[str, Any]
Floats = NDArray[np.float64]
# The points of the grid, as multiples of the rulebook's spreads and means. A finer grid changes a chance by
# under 0.015. The two lapses are those of Gauss and Laguerre: mean, spread and lean of an exponential.
MIDDLE_STEPS: Floats = np.arange(-2.625, 2.626, 0.75)
SLOPE_FACTORS: Floats = 2.0 ** np.array([-1.4, 0.0, 1.4])
LAPSE_FACTORS: Floats = 2 + 2**0.5 * np.array([-1.0, 1.0])
LAPSE_SHARES: Floats = (2 - 2**0.5 * np.array([-1.0, 1.0])) / 4
SURFACE_M = 10.0  # so many metres of water press as much as the air above them


@dataclass(frozen=True)
class Seen:
    """One deep dive that tells something: whether it was clean, its weight, and its day.

    `beyond` is how many percent beyond the best a dive of today would be that is as hard for the diver as this one was:
    the deep dives since then have made it easier.
    """

    beyond: float
    is_clean: bool
    weight: float
    date: str


@dataclass(frozen=True)
class Chances:
    """Points of the grid with their weights (they sum to 1), and the shares of what a dive was besides.

    `taxing` is the share of clean dives that tax, `hard` that of hard dives among those that were not clean: both are
    posterior means. `near_days` counts the days with a deep dive near the best or beyond it. `rise` is by how many
    percent each day of deep dives lets the middle rise.
    """

    middle: Floats
    slope: Floats
    lapse: Floats
    weight: Floats
    taxing: float
    hard: float
    near_days: int
    rise: float

    def clean(self, beyond: Floats, days: float = 0) -> Floats:
        """Return the chance of a clean dive, (depths x points), at so many percent beyond the best.

        `days` is how many days of deep dives, on the mean, come before it from today on.
        """
        return chance(beyond[:, None] - self.rise * days, self.middle, self.slope, self.lapse)


@dataclass(frozen=True)
class Scale:
    """Tells how far beyond the best with which a season began a depth is; below 0 when it is shallower."""

    best_m: float
    rung_m: float

    def beyond(self, depth_m: float) -> float:
        """Return how many percent more than at the best the pressure at a depth is."""
        return 100 * (depth_m - self.best_m) / (self.best_m + SURFACE_M)

    def rungs(self, depth_m: float) -> float:
        """Return how many rungs deeper than the best a depth is."""
        return (depth_m - self.best_m) / self.rung_m


def chance(beyond: Floats | float, middle: Floats, slope: Floats, lapse: Floats) -> Floats:
    """Return the chance of a clean dive by percent beyond the best."""
    found: Floats = (1 - lapse) / (1 + np.exp(np.clip(slope * (beyond - middle), -50, 50)))
    return found


def scale_of(ladder: Json) -> Scale:
    """Return the scale of a ladder: its rung is the step that leads to the best, or past it where that is the first."""
    depths, best_m = [rung["depth_m"] for rung in ladder["rungs"]], float(ladder["best_m"])
    at = next((at for at, depth_m in enumerate(depths) if depth_m > best_m), len(depths) - 1)
    steps = [deeper - depth_m for depth_m, deeper in pairwise(depths)]
    return Scale(best_m, float(steps[min(max(at - 1, 0), len(steps) - 1)]) if steps else 1.0)


def seen_in(sheet: Json, log: Sequence[Json], name: str, today: str, book: Rulebook) -> list[Seen]:
    """Return what the log tells of a discipline: its deep dives with a target, without those turned from outside.

    Dives of one day are not independent: together they weigh as much as one. Older days weigh less.
    """
    scale, half_life = scale_of(sheet["disciplines"][name]), book.value("forecast.half_life_days")
    rise, days = book.value("forecast.rise_percent"), dict[str, list[tuple[float, bool]]]()
    for dive in _told_of(sheet, log, name, today, book):
        deed = scale.beyond(dive["target_m"]), judge(sheet, dive).name == "clean"
        days.setdefault(dive["date"], []).append(deed)
    risen = {day: rise * (len(days) - before) for before, day in enumerate(sorted(days))}
    return [
        Seen(beyond + risen[day], clean, 0.5 ** (_age(day, today) / half_life) / len(deeds), day)
        for day, deeds in days.items()
        for beyond, clean in deeds
    ]


def chances_of(sheet: Json, log: Sequence[Json], name: str, today: str, book: Rulebook) -> Chances:
    """Return the posterior for a discipline as of today."""
    seen = seen_in(sheet, log, name, today, book)
    middle, slope, lapse, prior = grid(book)
    weight = posterior(prior, middle, slope, lapse, seen)
    kept = weight >= book.value("forecast.least_weight") * weight.max()
    weight = weight[kept] / weight[kept].sum()
    taxing, hard = _shares(sheet, log, name, today, book)
    near, rise = _near_days(sheet, log, name, today, book), book.value("forecast.rise_percent")
    return Chances(middle[kept], slope[kept], lapse[kept], weight, taxing, hard, near, rise)


def grid(book: Rulebook) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the grid's middles, slopes and lapses, and the prior weight of each point; they sum to 1.

    The middle is normal in percent, the slope log-normal, the lapse exponential: their numbers are the rulebook's.
    """
    slopes, lapses = book.value("forecast.slope_percent") * SLOPE_FACTORS, book.value("forecast.lapse") * LAPSE_FACTORS
    middles = book.value("forecast.middle_percent") + MIDDLE_STEPS * book.value("forecast.middle_spread_percent")
    factor = np.log(SLOPE_FACTORS) / np.log(book.value("forecast.slope_factor"))
    shares = np.exp(-(MIDDLE_STEPS**2) / 2), np.exp(-(factor**2) / 2), LAPSE_SHARES
    middle, slope, lapse = (axis.ravel() for axis in np.meshgrid(middles, slopes, lapses, indexing="ij"))
    prior = np.einsum("i,j,k->ijk", *shares).ravel()
    return middle, slope, lapse, prior / prior.sum()


def posterior(prior: Floats, middle: Floats, slope: Floats, lapse: Floats, seen: Sequence[Seen]) -> Floats:
    """Return the grid's weights after what was seen: Bayes' rule, each dive's likelihood to the power of its weight."""
    logs = np.log(prior)
    for one in seen:
        clean = chance(one.beyond, middle, slope, lapse)
        logs = logs + one.weight * np.log(clean if one.is_clean else 1 - clean)
    found: Floats = np.exp(logs - logs.max())
    found /= found.sum()
    return found


def _shares(sheet: Json, log: Sequence[Json], name: str, today: str, book: Rulebook) -> tuple[float, float]:
    """Return the posterior means: taxing of clean dives (beta), hard of those that were not clean (Dirichlet)."""
    taxing, calm = book.value("forecast.taxing_prior"), book.value("forecast.calm_prior")
    hard, turned = book.value("forecast.hard_prior"), book.value("forecast.turned_prior")
    least = sheet["numbers"]["taxing_effort"]
    for dive in _told_of(sheet, log, name, today, book):
        verdict = judge(sheet, dive).name
        if verdict == "clean" and dive["effort"] is not None:
            taxing, calm = (taxing + 1, calm) if dive["effort"] >= least else (taxing, calm + 1)
        hard, turned = hard + (verdict == "hard"), turned + (verdict == "turned")
    return taxing / (taxing + calm), hard / (hard + turned)


def _near_days(sheet: Json, log: Sequence[Json], name: str, today: str, book: Rulebook) -> int:
    """Return on how many days there was a deep dive near the best or beyond it."""
    scale, least = scale_of(sheet["disciplines"][name]), -book.value("forecast.near_rungs")
    told = _told_of(sheet, log, name, today, book)
    return len({dive["date"] for dive in told if scale.rungs(dive["target_m"]) >= least})


def _told_of(sheet: Json, log: Sequence[Json], name: str, today: str, book: Rulebook) -> Iterator[Json]:
    """Yield the deep dives of a discipline that tell something of its diver: not too old, not turned from outside."""
    oldest = int(book.value("forecast.oldest_days"))
    for dive in log:
        if dive["kind"] != "dive" or dive["role"] != "deep" or dive["discipline"] != name or not dive["target_m"]:
            continue
        if _age(dive["date"], today) in range(oldest) and not is_outside(sheet, dive):
            yield dive


def _age(day: str, today: str) -> int:
    return (date.fromisoformat(today) - date.fromisoformat(day)).days
