"""What a buddy sees of a crew's day: what the order of diving needs, and nothing of results, notes or reasons."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from webapp.actions.times import stamp
from webapp.store import feeds, kept_logs
from webapp.store.values import Feed

Record = Mapping[str, Any]
DAY_SHOWN = ("date", "starts_at", "line_most_m", "line_keeper", "boat", "clock", "site")
ABOARD_SHOWN = ("id", "date", "person", "name", "guest", "ready", "may_meet_m", "late_until", "over")
TURN_SHOWN = (
    "id", "date", "person", "discipline", "role", "depth_m", "dive_s", "pause_s", "fixed_at", "pinned", "safety",
    "began_at", "ended_at",
)  # fmt: skip
RESCUE = "rescue"  # of a dive's result: the day is over for its diver
OUT = {"ready": False, "may_meet_m": None, "over": False}  # neither dives nor is safety; why is not told


def crew_days(user_id: int, today: str) -> list[dict[str, Any]]:
    """Return the day of each crew in which this diver is aboard today; the caller has a transaction open."""
    person = feeds.log_name(user_id)
    days = [_day(crew, today) for crew in feeds.crews_of(user_id)]
    return [day for day in days if any(one["person"] == person for one in day["aboard"])]


def _day(crew: Feed, today: str) -> dict[str, Any]:
    found: dict[str, list[Record]] = {"crew_day": [], "aboard": [], "turn": []}
    for record in sorted(kept_logs.log_of(crew.id), key=lambda record: str(record["id"])):
        if record["kind"] in found and record.get("date") == today:
            found[record["kind"]].append(record)
    out = _out(found["aboard"], found["turn"])
    title = getattr(crew, "title", None) or "Crew"
    day = {name: found["crew_day"][0].get(name) for name in DAY_SHOWN} if found["crew_day"] else None
    aboard = [_aboard(one, out) for one in found["aboard"]]
    turns = [shown for one in found["turn"] if (shown := _turn(one, out))]
    return {"date": today, "title": title, "crew_day": day, "aboard": aboard, "turns": turns}


def _out(aboard: Iterable[Record], turns: Iterable[Record]) -> set[str]:
    """Return the persons whose day is over."""
    over = {one["person"] for one in aboard if one.get("over")}
    return over | {one["person"] for one in turns if one.get("result") == RESCUE}


def _aboard(one: Record, out: set[str]) -> dict[str, Any]:
    """Return somebody aboard; of others, as of the diver, it is not told that the day is over, or why."""
    shown = {name: one.get(name) for name in ABOARD_SHOWN}
    return {**shown, **OUT} if one["person"] in out else shown


def _turn(one: Record, out: set[str]) -> dict[str, Any] | None:
    """Return a dive of the list; None for one that will not be made, or of which nobody knows when it was."""
    shown = {name: one.get(name) for name in TURN_SHOWN}
    if one.get("result") is not None and one.get("ended_at") is None:
        return {**shown, "ended_at": _ended(one)} if one.get("began_at") else None
    is_open = one.get("began_at") is None and one.get("ended_at") is None
    return None if is_open and one["person"] in out else shown


def _ended(one: Record) -> str:
    """Return when a dive ended whose end nobody noted: after the time that was expected."""
    began = datetime.fromisoformat(one["began_at"].replace("Z", "+00:00"))
    return stamp(began + timedelta(seconds=one.get("dive_s") or 0))
