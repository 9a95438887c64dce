"""Load of training: how hard whole days were, week by week, with days off and deep days beside it; no thresholds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from statistics import mean, stdev
from typing import Any

from ..rulebook.rulebook import Rulebook
from .words import count, on

Json = Mapping[str, Any]
WEEK_DAYS = 7
DIGITS = {"monotony": 4, "strain": 2}


def load_of(log: Iterable[Json], today: str, book: Rulebook) -> dict[str, Any]:
    """Return the weeks, Monday to Sunday, the running one last, with formula and source.

    A week has monotony and strain once it is over, when no dive day of it lacks its effort and its days are not alike.
    """
    past = [record for record in log if record.get("date") is not None and record["date"] <= today]
    loads, dives = _loads(past), [record for record in past if record["kind"] == "dive"]
    dived = {dive["date"] for dive in dives}
    deep = {dive["date"] for dive in dives if dive["role"] == "deep"}
    weeks = [_week(monday, loads, dived, deep, today) for monday in _mondays(dived | loads.keys(), today, book)]
    words = book.texts["training_load"]
    says = _says(weeks, book) if weeks else list(words["none"])
    return {"weeks": weeks, "says": says, "source": words["source"], "formula": words["formula"]}


def _loads(log: Iterable[Json]) -> dict[str, int]:
    """Return the load by day, of each day that has both numbers; the later word for a day counts."""
    said: dict[str, dict[str, int]] = {}
    for record in log:
        if record["kind"] == "day":
            given = {name: record[name] for name in ("rpe", "minutes") if record.get(name) is not None}
            said.setdefault(record["date"], {}).update(given)
    return {on: one["rpe"] * one["minutes"] for on, one in said.items() if len(one) == 2}


def _mondays(days: Iterable[str], today: str, book: Rulebook) -> list[date]:
    """Return the first days of the weeks that are shown, from the first with anything in it to that of today."""
    first = min(days, default=None)
    if first is None:
        return []
    last = _monday(date.fromisoformat(today))
    begin = max(_monday(date.fromisoformat(first)), last - timedelta(weeks=book.value("looking_back.weeks") - 1))
    return [begin + timedelta(weeks=at) for at in range((last - begin).days // WEEK_DAYS + 1)]


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _week(monday: date, loads: Mapping[str, int], dived: set[str], deep: set[str], today: str) -> dict[str, Any]:
    days = [(monday + timedelta(days=at)).isoformat() for at in range(WEEK_DAYS)]
    active = [on for on in days if on in dived or on in loads]
    missing = sum(on in dived and on not in loads for on in days)
    daily = [loads.get(on, 0) for on in days]
    monotony = _monotony(daily) if days[-1] < today and not missing else None
    return {
        "first_day": days[0],
        "load": sum(daily),
        "days": len(active),
        "deep_days": sum(on in deep for on in days),
        "days_off": sum(on < today and on not in active for on in days),
        "monotony": None if monotony is None else round(monotony, DIGITS["monotony"]),
        "strain": None if monotony is None else round(sum(daily) * monotony, DIGITS["strain"]),
        "missing": missing,
    }


def _monotony(daily: Sequence[int]) -> float | None:
    """Return mean by sample standard deviation (n - 1), None when all days are alike."""
    spread = stdev(daily)
    return mean(daily) / spread if spread else None


def _says(weeks: Sequence[Json], book: Rulebook) -> list[str]:
    last = weeks[-1]
    days = f"{count(last['days'], 'day')} with dives or a load, {last['deep_days']} with a deep dive"
    said = f"Week from {on(last['first_day'], book)}, so far: load {last['load']}; {days}."
    return [said, *_missing(weeks), *book.texts["training_load"]["about"]]


def _missing(weeks: Sequence[Json]) -> list[str]:
    missing = sum(week["missing"] for week in weeks)
    if not missing:
        return []
    return [f"{count(missing, 'dive day')} without an effort: the load of that week is too low, and has no monotony."]
