"""Repetition load: nitrogen that dives leave behind, as if the compressed lung gas were breathed (an upper bound).

Used only to rank plans, in words. It is not a limit, a ceiling, a probability or permission to
dive: divers with low figures in this very model have been injured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log

from . import constants as c
from .pressure import Water, absolute_bar
from .ranges import check

Loads = tuple[float, ...]
COMPARISON_ONLY = "A comparison only, never permission to dive: longer pauses and fewer deep dives are always better."


@dataclass(frozen=True)
class LoadedDive:
    """One dive of a day: depth 0 to 1000 m, seconds down, at the turn and up, and the pause in s before it."""

    depth_m: float
    down_s: float
    turn_s: float
    up_s: float
    pause_before_s: float = 0.0

    def __post_init__(self) -> None:
        check("depth_m", self.depth_m)
        for field in ("down_s", "turn_s", "up_s", "pause_before_s"):
            check(field, getattr(self, field), "seconds")

    @property
    def dive_s(self) -> float:
        """The whole dive in seconds."""
        return self.down_s + self.turn_s + self.up_s


def alveolar_nitrogen_bar(bar: float) -> float:
    """Return the nitrogen pressure in bar in lungs full of air at 0.4 to 110 bar, never below 0.

    Errors: OutOfRange. Source: Bühlmann's alveolar pressure, RQ = 1.
    """
    return max(0.0, (check("bar", bar) - c.VAPOUR_BAR) * c.NITROGEN_SHARE)


def schreiner_bar(
    start_bar: float, lungs_bar: float, rate_bar_min: float, minutes: float, half_time_min: float
) -> float:
    """Return a compartment's nitrogen in bar after minutes while that in the lungs changes at a constant rate.

    `lungs_bar` is the nitrogen pressure in the lungs at the beginning; at a rate of 0 this is Haldane's equation.
    Source: Schreiner & Kelley 1971 (memory), equation seen in public texts.
    """
    k = log(2) / half_time_min
    gap = lungs_bar - start_bar - rate_bar_min / k
    return lungs_bar + rate_bar_min * (minutes - 1 / k) - gap * exp(-k * minutes)


def rested(water: Water) -> Loads:
    """Return the compartments' nitrogen in bar of a diver who has not dived, at the surface of this water."""
    return (alveolar_nitrogen_bar(water.surface_bar),) * len(c.HALF_TIMES_MIN)


def after_dive(loads: Loads, dive: LoadedDive, water: Water) -> Loads:
    """Return the compartments' nitrogen in bar on surfacing from a dive straight down, a turn, and straight up."""
    surface = alveolar_nitrogen_bar(water.surface_bar)
    bottom = alveolar_nitrogen_bar(absolute_bar(dive.depth_m, water))
    for begin, end, seconds in (
        (surface, bottom, dive.down_s),
        (bottom, bottom, dive.turn_s),
        (bottom, surface, dive.up_s),
    ):
        if seconds:
            loads = _ramp(loads, begin, end, seconds / 60)
    return loads


def after_pause(loads: Loads, seconds: float, water: Water) -> Loads:
    """Return the compartments' nitrogen in bar after breathing air at the surface for 0 to 86 400 s."""
    lungs = alveolar_nitrogen_bar(water.surface_bar)
    return _ramp(loads, lungs, lungs, check("seconds", seconds) / 60)


def ranking_number(loads: Loads, water: Water) -> float:
    """Return a number to compare loads by: 0 when rested, larger with more nitrogen; for ranking only, never shown.

    The largest of (load - rested) / (scale - rested) over the compartments, scaled by the published a and b so that
    slow and fast compartments can be compared. Source: constants of Bühlmann; this use of them is our own.
    """
    resting = alveolar_nitrogen_bar(water.surface_bar)
    return max(
        (load - resting) / (a + water.surface_bar / b - resting)
        for load, a, b in zip(loads, c.SCALE_A_BAR, c.SCALE_B, strict=True)
    )


def rank_plans(plans: Mapping[str, Sequence[LoadedDive]], water: Water) -> list[dict[str, object]]:
    """Return the plans in order of repetition load, the least first: {name, place, says}; equal loads share a place."""
    peaks = {
        name: max((ranking_number(loads, water) for loads in _surfacings(dives, water)), default=0.0)
        for name, dives in plans.items()
    }
    order = sorted(peaks, key=lambda name: peaks[name])
    rows = []
    for name in order:
        place = 1 + sum(peaks[other] < peaks[name] for other in order)
        word = "least" if place == 1 else f"place {place} of {len(order)}, more"
        rows.append({"name": name, "place": place, "says": f"{name}: {word} repetition load. {COMPARISON_ONLY}"})
    return rows


def _surfacings(dives: Sequence[LoadedDive], water: Water) -> list[Loads]:
    loads, found = rested(water), []
    for dive in dives:
        loads = after_dive(after_pause(loads, dive.pause_before_s, water), dive, water)
        found.append(loads)
    return found


def _ramp(loads: Loads, begin: float, end: float, minutes: float) -> Loads:
    rate = (end - begin) / minutes if minutes else 0.0
    return tuple(
        schreiner_bar(load, begin, rate, minutes, half_time)
        for load, half_time in zip(loads, c.HALF_TIMES_MIN, strict=True)
    )
