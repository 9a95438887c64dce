"""Repetition load: nitrogen that dives leave behind, as if the compressed lung gas were breathed (an upper bound).

Used only to rank plans and to lengthen pauses, in words. It is not a limit, a ceiling, a probability or permission to
dive: divers with low figures in this very model have been injured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, exp, log

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


@dataclass(frozen=True)
class Repetition:
    """When repeated dives lengthen the pause: after `count` dives to `deep_m` or deeper within `within_s`.

    The pause is then `factor` times as long. The load may lengthen it too, up to `most_times` the plain pause.
    """

    deep_m: float
    count: int
    within_s: float
    factor: float
    most_times: float

    def __post_init__(self) -> None:
        kinds = {"deep_m": "depth_m", "within_s": "seconds", "factor": "times", "most_times": "times"}
        for field in self.__dataclass_fields__:
            check(field, getattr(self, field), kinds.get(field))


@dataclass(frozen=True)
class LongerPause:
    """A pause in whole seconds, never shorter than the plain one, and the reasons why it is longer."""

    seconds: int
    reasons: tuple[str, ...]


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


def after_day(dives: Sequence[LoadedDive], water: Water) -> Loads:
    """Return the compartments' nitrogen in bar at the last surfacing of a day that began rested."""
    return _surfacings(dives, water)[-1] if dives else rested(water)


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


def longer_pause(dives: Sequence[LoadedDive], plain_s: float, rule: Repetition, water: Water) -> LongerPause:
    """Return the pause after the last of the day's dives: the plain pause, lengthened for repetition.

    By count: see `Repetition`. By load: until no more is left than after this dive alone and the plain pause.
    Errors: OutOfRange.
    """
    plain = check("plain_s", plain_s, "seconds")
    if not dives:
        return LongerPause(ceil(plain), ())
    by_count, count_words = _by_count(dives, plain, rule)
    by_load = _by_load(dives, plain, rule, water)
    reasons = [count_words] if count_words else []
    if by_load > ceil(plain):
        reasons.append(f"the dives before this one still count: {ceil(by_load / 60)} min instead of {ceil(plain / 60)}")
    return LongerPause(max(ceil(plain), by_count, by_load), tuple(reasons))


def _by_count(dives: Sequence[LoadedDive], plain: float, rule: Repetition) -> tuple[int, str]:
    since, deep = 0.0, 0
    for dive in reversed(dives):
        if since > rule.within_s:
            break
        deep += dive.depth_m >= rule.deep_m
        since += dive.dive_s + dive.pause_before_s
    if deep < rule.count or dives[-1].depth_m < rule.deep_m:
        return ceil(plain), ""
    words = f"dive number {deep} at {rule.deep_m:g} m or deeper within {rule.within_s / 60:g} min: a longer pause"
    return ceil(plain * max(1.0, rule.factor)), words


def _by_load(dives: Sequence[LoadedDive], plain: float, rule: Repetition, water: Water) -> int:
    """Return the shortest pause that brings the load down to that of the last dive alone after the plain pause."""
    alone = ranking_number(after_pause(after_dive(rested(water), dives[-1], water), plain, water), water)
    loads = after_day(dives, water)
    low, high = ceil(plain), ceil(min(plain * max(1.0, rule.most_times), 86_400))
    while low < high:  # the load only falls with time, so halving finds the first second
        middle = (low + high) // 2
        if ranking_number(after_pause(loads, middle, water), water) <= alone + 1e-12:
            high = middle
        else:
            low = middle + 1
    return low


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
