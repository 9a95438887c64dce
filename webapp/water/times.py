"""Times along the line: swim down, fall, turn, come up, and mean speeds from the diver's own log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from .errors import OutOfRange
from .ranges import check


@dataclass(frozen=True)
class Pace:
    """Speeds in m/s (0.05 to 4), where free fall begins in m (None: the diver swims all the way), the turn in s."""

    swim_m_s: float
    fall_m_s: float
    ascent_m_s: float
    turn_s: float
    free_fall_m: float | None = None

    def __post_init__(self) -> None:
        for field in ("swim_m_s", "fall_m_s", "ascent_m_s"):
            check(field, getattr(self, field), "speed_m_s")
        check("turn_s", self.turn_s, "seconds")
        if self.free_fall_m is not None:
            check("free_fall_m", self.free_fall_m, "depth_m")


@dataclass(frozen=True)
class MeanSpeed:
    """A mean speed down and up in m/s, how many logged dives it comes from (0: the rulebook), and the words."""

    m_s: float
    dives: int
    says: str


def at_descent_s(depth_m: float, pace: Pace) -> float:
    """Return the seconds after the start at which the diver passes a depth of 0 to 1000 m on the way down."""
    return _down_s(check("depth_m", depth_m), pace)


def _down_s(depth_m: float, pace: Pace) -> float:
    fall_from = depth_m if pace.free_fall_m is None else min(depth_m, pace.free_fall_m)
    return fall_from / pace.swim_m_s + (depth_m - fall_from) / pace.fall_m_s


def at_ascent_s(depth_m: float, target_m: float, pace: Pace) -> float:
    """Return the seconds after the start at which the diver passes a depth on the way up from the target.

    Errors: OutOfRange, also for a depth below the target.
    """
    depth, target = check("depth_m", depth_m), check("target_m", target_m, "depth_m")
    if depth > target:
        raise OutOfRange("depth_m", f"must be at most the target, 0 to {target:g} m, not {depth:g}")
    return _down_s(target, pace) + pace.turn_s + (target - depth) / pace.ascent_m_s


def total_s(target_m: float, pace: Pace) -> float:
    """Return the seconds from the start to the surface for a target of 0 to 1000 m; errors: OutOfRange."""
    return at_ascent_s(0.0, target_m, pace)


def fitted(pace: Pace, target_m: float, mean_m_s: float) -> Pace:
    """Return the pace with all speeds scaled so that the dive takes 2 x target / mean + turn.

    A log has only whole dive times: this keeps the shape of the dive and fits its total time to the diver.
    """
    mean = check("mean_m_s", mean_m_s, "speed_m_s")
    moving = total_s(target_m, pace) - pace.turn_s
    if moving == 0:
        return pace
    factor = moving / (2 * target_m / mean)
    speeds = pace.swim_m_s * factor, pace.fall_m_s * factor, pace.ascent_m_s * factor
    return Pace(*speeds, pace.turn_s, pace.free_fall_m)


def speed_from_log(
    dives: Iterable[tuple[float, float | None]],
    book_m_s: float,
    turn_s: float,
    least_dives: int,
    plausible_m_s: tuple[float, float],
) -> MeanSpeed:
    """Return the median speed of logged dives (reached m, dive s or None), or the rulebook's when there are too few.

    Dives without a time and those outside `plausible_m_s` (probably typing errors) are left out.
    Errors: OutOfRange for the settings, never for a logged dive.
    """
    book = check("book_m_s", book_m_s, "speed_m_s")
    turn, least = check("turn_s", turn_s, "seconds"), check("least_dives", least_dives, "count")
    low, high = (check("plausible_m_s", speed, "speed_m_s") for speed in plausible_m_s)
    speeds = [2 * depth / (seconds - turn) for depth, seconds in dives if seconds is not None and seconds > turn]
    speeds = [speed for speed in speeds if low <= speed <= high]
    if not speeds or len(speeds) < least:
        return MeanSpeed(book, 0, f"{book:g} m/s from the rulebook: {len(speeds)} logged dives, {least:g} are needed")
    own = median(speeds)
    return MeanSpeed(own, len(speeds), f"{own:.2f} m/s from {len(speeds)} logged dives")
