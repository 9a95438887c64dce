"""The dive card: what the diver, the line keeper and the safety diver need to prepare a dive, as plain JSON values."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import Any

from .errors import OutOfRange
from .pressure import Water, absolute_bar, gauge_shows_m, rope_for_gauge_m
from .ranges import check, choose
from .times import Pace, at_ascent_s, at_descent_s, total_s


@dataclass(frozen=True)
class Line:
    """The line: bottom, how far the plate hangs below the target, and the least distance above the bottom; all in m.

    `set_by` says how the target is measured: "rope", or "gauge" when the diver's gauge should show it.
    """

    bottom_m: float
    below_target_m: float
    least_above_bottom_m: float
    set_by: str = "rope"

    def __post_init__(self) -> None:
        check("bottom_m", self.bottom_m)
        check("below_target_m", self.below_target_m, "depth_m")
        check("least_above_bottom_m", self.least_above_bottom_m, "depth_m")
        choose("set_by", self.set_by, ("rope", "gauge"))


@dataclass(frozen=True)
class Marks:
    """The diver's own marks on the way down, in rope metres; marks below the target are left off the card."""

    mouthfill_m: float | None = None
    alarms_m: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if self.mouthfill_m is not None:
            check("mouthfill_m", self.mouthfill_m, "depth_m")
        for index, depth in enumerate(self.alarms_m):
            check(f"alarms_m[{index}]", depth, "depth_m")


@dataclass(frozen=True)
class Safety:
    """When the safety diver leaves: the meeting depth is the least of share x target, the maximum and their own limit.

    They leave `margin_s` early, and no later than `latest_share` of the expected dive time.
    """

    meet_share: float
    meet_most_m: float
    own_limit_m: float | None
    speed_m_s: float
    margin_s: float
    latest_share: float

    def __post_init__(self) -> None:
        check("meet_share", self.meet_share, "share")
        check("latest_share", self.latest_share, "share")
        check("meet_most_m", self.meet_most_m, "depth_m")
        check("speed_m_s", self.speed_m_s)
        check("margin_s", self.margin_s, "seconds")
        if self.own_limit_m is not None:
            check("own_limit_m", self.own_limit_m, "depth_m")


@dataclass(frozen=True)
class Overdue:
    """When a dive is overdue: later than expected by this share of its time, but at least by `least_s`."""

    share: float
    least_s: float

    def __post_init__(self) -> None:
        check("share", self.share)
        check("least_s", self.least_s, "seconds")


def make_card(
    target_m: float,
    pace: Pace,
    line: Line,
    marks: Marks,
    safety: Safety,
    overdue: Overdue,
    water: Water,
) -> dict[str, Any]:
    """Return the card of a dive to a target of 0 to 1000 m, as plain JSON values; seconds count from the start.

    Times to leave and to raise the alarm are rounded down, the others to the nearest second.
    Errors: OutOfRange, also when the line would touch the bottom.
    """
    rope_m, line_m = _lengths(check("target_m", target_m, "depth_m"), line, water)
    total = total_s(rope_m, pace)
    meeting, cautions = _meeting(rope_m, total, pace, safety)
    above_bottom_m = line.bottom_m - line_m
    if above_bottom_m < line.least_above_bottom_m:
        cautions.append(
            f"Only {above_bottom_m:.1f} m from the plate to the bottom; "
            f"it should be at least {line.least_above_bottom_m:g} m."
        )
    turn_s = at_descent_s(rope_m, pace)
    overdue_s = floor(total + max(overdue.least_s, overdue.share * total))
    return {
        "target_m": target_m,
        "line_m": round(line_m, 1),
        "gauge_m": round(gauge_shows_m(rope_m, water), 1),
        "bar": round(absolute_bar(rope_m, water), 2),
        "bottom_m": line.bottom_m,
        "clearance_m": round(above_bottom_m, 1),
        "down": _way_down(rope_m, pace, marks, water),
        "turn": {"depth_m": round(rope_m, 1), "at_s": round(turn_s), "leave_s": round(turn_s + pace.turn_s)},
        "up": [
            {"kind": "meet", "depth_m": meeting["depth_m"], "at_s": meeting["meet_s"]},
            {"kind": "surface", "depth_m": 0.0, "at_s": round(total)},
        ],
        "ascent_s": round(rope_m / pace.ascent_m_s),
        "total_s": round(total),
        "safety": meeting,
        "overdue_s": overdue_s,
        "cautions": cautions,
    }


def _lengths(target_m: float, line: Line, water: Water) -> tuple[float, float]:
    """Return the target in rope metres and the length of line to set."""
    rope_m = target_m if line.set_by == "rope" else rope_for_gauge_m(target_m, water)
    line_m = rope_m + line.below_target_m
    if line_m >= line.bottom_m:
        most = line.bottom_m - line.below_target_m
        raise OutOfRange("target_m", f"must be less than {most:g} m here: a line of {line_m:.1f} m meets the bottom")
    return rope_m, line_m


def _way_down(rope_m: float, pace: Pace, marks: Marks, water: Water) -> list[dict[str, Any]]:
    """Return the marks that the diver passes, from the top: {kind, depth_m, gauge_m, at_s}."""
    found = [("alarm", depth) for depth in marks.alarms_m]
    if marks.mouthfill_m is not None:
        found.append(("mouthfill", marks.mouthfill_m))
    if pace.free_fall_m is not None:
        found.append(("free_fall", pace.free_fall_m))
    return [
        {
            "kind": kind,
            "depth_m": depth,
            "gauge_m": round(gauge_shows_m(depth, water), 1),
            "at_s": round(at_descent_s(depth, pace)),
        }
        for kind, depth in sorted(found, key=lambda mark: mark[1])
        if depth < rope_m or (kind == "alarm" and depth == rope_m)
    ]


def _meeting(rope_m: float, total: float, pace: Pace, safety: Safety) -> tuple[dict[str, Any], list[str]]:
    """Return when the safety diver leaves, arrives and meets the diver, and the cautions about it."""
    wanted = min(safety.meet_share * rope_m, safety.meet_most_m)
    depth = wanted if safety.own_limit_m is None else min(wanted, safety.own_limit_m)
    meet = at_ascent_s(depth, rope_m, pace)
    travel = depth / safety.speed_m_s
    leave = max(0.0, min(meet - travel - safety.margin_s, safety.latest_share * total))
    cautions = []
    if depth < wanted:
        cautions.append(
            f"The safety diver's own limit is {depth:g} m, but the rule is to meet at {wanted:.1f} m: "
            "choose another safety diver."
        )
    if leave + travel > meet:
        cautions.append("The safety diver cannot be there in time, even leaving with the diver: choose less depth.")
    return {
        "depth_m": round(depth, 1),
        "leave_s": floor(leave),
        "there_s": round(leave + travel),
        "meet_s": round(meet),
    }, cautions
