"""The running pause as a buddy sees it: when the last dive surfaced, and how long the pause is at least."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from webapp.actions.planning import Current
from webapp.actions.times import stamp
from webapp.planner.reader.interval import pause_after

Dive = Mapping[str, Any]


def running_pause(current: Current, dives: Iterable[Dive], utc_offset_min: int) -> dict[str, Any] | None:
    """Return the pause after the last of a day's dives, {surfaced_at, seconds}; None when none says when it surfaced.

    The rule behind it is not told, nor which dive it was.
    """
    timed = sorted((moment, dive["id"], dive) for dive in dives if (moment := _surfaced(dive, utc_offset_min)))
    if not timed:
        return None
    surfaced = [
        {"reached_m": dive["reached_m"], "dive_s": _taken_s(current, dive), "surfaced_s": moment.timestamp()}
        for moment, _, dive in timed
    ]
    pause = pause_after(current.sheet, surfaced)
    return {"surfaced_at": stamp(timed[-1][0]), "seconds": pause["seconds"] if pause else 0}


def _surfaced(dive: Dive, utc_offset_min: int) -> datetime | None:
    """Return when a dive surfaced: as the phone noted it, else by the time of day where the diver is."""
    if dive.get("surfaced_at"):
        return datetime.fromisoformat(dive["surfaced_at"].replace("Z", "+00:00"))
    if not dive.get("at"):
        return None
    local = datetime.fromisoformat(f"{dive['date']}T{dive['at']}:00").replace(tzinfo=UTC)
    return local - timedelta(minutes=utc_offset_min)


def _taken_s(current: Current, dive: Dive) -> float:
    """Return the time of a dive as logged, else what the nearest rung is expected to take, of two the deeper."""
    if dive.get("dive_s") is not None:
        return float(dive["dive_s"])
    ladders = current.sheet["disciplines"]
    own = [ladders[dive["discipline"]]] if dive["discipline"] in ladders else ladders.values()
    rungs = [rung for ladder in own for rung in ladder["rungs"]]
    nearest = min(rungs, key=lambda rung: (abs(rung["depth_m"] - dive["reached_m"]), -rung["depth_m"]))
    return float(nearest["expected_s"])
