"""An invented diver in mid-season: what the app looks like after some weeks of use, relative to the day it is shown.

Everything here is made up: the person, the place, the depths. The log is written day by day as the plan asks, so
that hard and turned dives have changed it.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from webapp.actions import accounts, seasons, sites, sync
from webapp.rulebook.faults import Refused

NAME = "Runa Tidewell"
PASSWORD = "slow kelp drifts"  # noqa: S105 - printed for whoever tries the demo
DAYS_DONE = 18
DAYS_IN_ALL = 48
SAFETY = ("Ilka Moor", "Runa Falk")
# +44 1632 96 0000 to 0999 are kept free by the British regulator for stories (from memory)
PLAN = {
    "longitude": 10.125, "emergency_phone": "+44 1632 960112", "radio_channel": "VHF 16",
    "hospital": "Skarn Bay hospital, 25 minutes by boat and car", "hospital_phone": "+44 1632 960145",
    "chamber": "Holm chamber, 2 hours", "chamber_phone": "+44 1632 960178",
    "oxygen_where": "yellow box below the helm", "oxygen_by": "Ilka Moor, Runa Falk", "boat_driver": "Runa Falk",
    "meeting_point": "inner pier, at the crane", "language": "English",
}  # fmt: skip
DEVICE = str(uuid5(NAMESPACE_URL, "lineslate demo phone"))

# The result of each deep dive: share of the target reached, effort out of 10, signs, note.
Result = tuple[float, int, list[str], str]
CLEAN: Result = (1.0, 4, [], "")
EASY: Result = (1.0, 3, [], "long free fall, soft turn")
HARD: Result = (1.0, 8, ["urge_at_bottom"], "late with the last mouthfill")
TURNED: Result = (0.84, 6, ["ears_slow"], "left ear behind; turned, good decision")
RESULTS = (CLEAN, EASY, CLEAN, HARD, CLEAN, TURNED, CLEAN, EASY, HARD, HARD, CLEAN, CLEAN)


def make_if_missing(app: Any, now: datetime, plan: Mapping[str, Any] = PLAN) -> bool:
    """Make the demo's diver, season, log and buddy link, unless the file has an account; return whether it did.

    `plan` is the emergency plan of the site; with an empty one it is still to be filled in.
    """
    with app.app_context():
        try:
            user = accounts.sign_up(NAME, PASSWORD, None, now)
        except Refused:  # only the first account needs no invitation: there is one already
            return False
        today = now.date()
        seasons.save_season(user.id, None, "Spring at Skarn Wall", _season(today - timedelta(days=DAYS_DONE)), now)
        if plan:
            _fill_in_plan(user.id, plan, now)
        _log_days(user.id, now)
    return True


def _fill_in_plan(user_id: int, plan: Mapping[str, Any], now: datetime) -> None:
    """Fill in the emergency plan of the season's site; its phone numbers are of a range that nobody has."""
    (record,) = sites.listed(user_id)
    asked = _operation({"surfaced_at": now.strftime("%Y-%m-%dT%H:%M:%SZ")}, 10_000)
    sync.sync(
        user_id, _request([{**asked, "kind": "site", "record": record, "fields": dict(plan)}], str(now.date())), now
    )


def _season(first_day: Any) -> dict[str, Any]:
    def day(offset: int) -> str:
        return str((first_day + timedelta(days=offset)).isoformat())

    return {
        "first_day": day(0),
        "last_day": day(DAYS_IN_ALL - 1),
        "blocks": [
            _block(day(0), day(20), "FIM", {"discipline": "CNF", "depth_m": 18, "focus": "arms long, glide"}),
            _block(day(26), day(DAYS_IN_ALL - 1), "CNF", {"discipline": "FIM", "share": 0.5, "focus": "long pulls"}),
        ],
        "closed_days": [],
        "site": {"name": "Skarn Wall", "bottom_m": 55, "water": "salt", "latitude": 58.0, "temperature_c": 14},
        "disciplines": [
            _level("FIM", 47, 44, day(-9), (48, 51, 54)),
            _level("CNF", 31, 27, day(-9), (32, 36, 40)),
        ],
        "diver": {
            "sex": "woman", "height_cm": 171, "age_years": 34, "body_kg": 63, "suit_l": 4.5, "suit_kg": 0.9,
            "lead_kg": 1.6, "mouthfill": True, "alarms_m": [12, 30],
        },
        "rules": {},
        "changes": [{"from": day(DAYS_DONE - 5), "set": {"closed_days": [day(34)]}, "why": "the boat is away"}],
    }  # fmt: skip


def _block(first_day: str, last_day: str, main: str, drill: dict[str, Any]) -> dict[str, Any]:
    days = {"first_day": first_day, "last_day": last_day}
    return {**days, "main": main, "days_on": 2, "days_off": 1, "drills": [{**drill, "dives": 2}]}


def _level(code: str, best_m: int, comfortable_m: int, on: str, goals: tuple[int, int, int]) -> dict[str, Any]:
    return {
        "discipline": code,
        "best_m": best_m,
        "comfortable_m": comfortable_m,
        "comfortable_on": on,
        "start_m": None,
        "step_m": 2,
        "repeats": 3,
        "repeats_below_best": 1,
        "goals": dict(zip(("floor_m", "aim_m", "dream_m"), goals, strict=True)),
    }


def _log_days(user_id: int, now: datetime) -> None:
    """Log the days before today one after the other, each as the plan of that morning says."""
    results = iter(RESULTS)
    count = 0
    for back in range(DAYS_DONE, 0, -1):
        day = (now - timedelta(days=back)).date().isoformat()
        current = seasons.current(user_id, day)
        assert current is not None  # noqa: S101 - the season was saved just before
        planned = next(entry["dives"] for entry in current.plan["days"] if entry["date"] == day)
        dives = [_dive(day, index, dive, results) for index, dive in enumerate(planned)]
        operations = [_operation(dive, count + index) for index, dive in enumerate(dives)]
        count += len(operations)
        if operations:
            sync.sync(user_id, _request(operations, day), now - timedelta(days=back))


def _dive(day: str, index: int, planned: dict[str, Any], results: Any) -> dict[str, Any]:
    deep = planned["role"] == "deep"
    share, effort, signs, note = next(results, CLEAN) if deep else CLEAN
    reached_m = round(planned["target_m"] * share, 1)
    clock = f"{10 + index // 2}:{(10 + 25 * index) % 60:02}"
    return {
        "date": day,
        "at": clock,
        "surfaced_at": f"{day}T{clock}:00Z",
        "discipline": planned["discipline"],
        "role": planned["role"],
        "target_m": planned["target_m"],
        "reached_m": reached_m,
        "dive_s": round(2.15 * reached_m) + 3,
        "effort": effort,
        "signs": signs,
        "note": note,
        **({"safety": SAFETY[index % len(SAFETY)]} if deep else {}),
    }


def _operation(dive: dict[str, Any], counter: int) -> dict[str, Any]:
    return {
        "op": str(uuid5(NAMESPACE_URL, f"lineslate demo op {counter}")),
        "schema": 1,
        "kind": "dive",
        "record": str(uuid5(NAMESPACE_URL, f"lineslate demo dive {counter}")),
        "action": "put",
        "fields": dive,
        "base": 0,
        "counter": counter + 1,
        "made_at": dive["surfaced_at"],
    }


def _request(operations: list[dict[str, Any]], today: str) -> dict[str, Any]:
    return {
        "schema": 1,
        "device": DEVICE,
        "epoch": None,
        "mark": 0,
        "today": today,
        "utc_offset_min": 0,
        "user": None,
        "operations": operations,
    }
