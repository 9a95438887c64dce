"""The forecast of a season in numbers and words: the chance of each goal, the band of the ladder, dives not clean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from typing import Any

from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from .chances import Chances, chances_of
from .course import Told
from .places import Outcome
from .season import MORE_LIKELY, Season, begin_of
from .steps import KnownSteps

Json = Mapping[str, Any]
# How likely what is taken together after a day may be: for the page, and to compare many plans. Beside a far finer
# calculation of 30 invented seasons a goal's chance is off by at most 0.0014, and by at most 0.0055.
FINE, COARSE = 1.5e-3, 8e-3
MID, TENTH = 0.5, 0.1
NEARLY = 1e-9


@dataclass(frozen=True)
class Asked:
    """What a forecast is made from: the sheet, the log in order, today, the plan as read, and the rulebook."""

    sheet: Json
    log: Sequence[Json]
    today: str
    plan: Json
    book: Rulebook


def forecast_of(
    sheet: Json,
    log: Sequence[Json],
    today: str,
    plan: Json,
    book: Rulebook,
    left_out: float = FINE,
    known: KnownSteps | None = None,
) -> dict[str, Any]:
    """Return the forecast as of today, or {none_because} alone where nothing is forecast.

    `log` is in the order of diving, `plan` is what the reader says of it today. A chance is None with fewer days near
    the best than the rulebook asks for. `known` are steps that this forecast shares with others.
    """
    asked = Asked(sheet, log, today, plan, book)
    why = none_because(asked)
    if why is not None:
        return {"none_because": why}
    told, chances = told_of(asked, left_out, known)
    disciplines = {name: _discipline(asked, name, told.get(name, []), chances[name]) for name in plan["disciplines"]}
    bad = sum(day.not_clean for days in told.values() for day in days)
    of = sum(day.dives for days in told.values() for day in days)
    return {
        "none_because": None,
        "says": _says(asked, disciplines),
        "assumed_says": " ".join(_assumed(name, chances[name], book, len(disciplines) > 1) for name in disciplines),
        "lost_says": f"{show(100 * book.value('forecast.lost'))} of 100 dive days are taken as lost, to weather or "
        "illness. Turned and hard dives are in the count, harm is not: no accident is ever forecast.",
        "not_clean": {"expected": round(bad, 1), "of": round(of, 1), "says": _not_clean(bad, of)},
        "disciplines": disciplines,
    }


def none_because(asked: Asked) -> str | None:
    """Return why nothing is forecast; None when something is."""
    words = asked.book.texts["outlook"]
    stop = asked.plan["stand_down"]
    if stop and stop["needs_clearance"]:
        return str(words["none_stand_down"])
    coming = [slot for slot in asked.sheet["days"] if slot["kind"] == "dive" and slot["date"] >= asked.today]
    return None if coming else str(words["none_over"])


def told_of(
    asked: Asked, left_out: float, known: KnownSteps | None = None
) -> tuple[dict[str, list[Told]], dict[str, Chances]]:
    """Return what each dive day to come tells, by its main discipline, and the posteriors used for it."""
    begin = begin_of(asked.sheet, asked.log, asked.today)
    ladders = {**asked.sheet["disciplines"], **(begin.state.ladders if begin else {})}
    chances = {
        name: chances_of({**asked.sheet, "disciplines": ladders}, asked.log, name, asked.today, asked.book)
        for name in ladders
    }
    if begin is None:
        return {}, chances
    turned = Outcome("turned", asked.book.value("forecast.turned_share"), False)
    season = Season(begin, chances, asked.book.value("forecast.lost"), turned, left_out, known or KnownSteps())
    return season.run(), chances


def _discipline(asked: Asked, name: str, told: Sequence[Told], chances: Chances) -> dict[str, Any]:
    ladder = asked.plan["disciplines"][name]
    is_enough = chances.near_days >= asked.book.value("forecast.least_days")
    goals = [
        _goal(asked, told, number, (goal.removesuffix("_m"), fact), is_enough)
        for number, (goal, fact) in enumerate(ladder["goals"].items(), 1)
    ]
    band = [{"date": day.date, **band_of(day.rung)} for day in told]
    return {"goals": goals, "band": band, "says": _range(told[-1]) if told else ""}


def band_of(rung: Mapping[float, float]) -> dict[str, float]:
    """Return the middle depth, and two depths that have the ladder between them with a chance of about 80 %.

    Rungs are few, so that no depth may have a tenth beyond it: each end is the one with as near to a tenth as there is.
    """
    up, down = sorted(rung.items()), sorted(rung.items(), reverse=True)
    return {"low_m": _end(up), "mid_m": quantile(rung, MID), "high_m": _end(down)}


def inside(rung: Mapping[float, float], band: Mapping[str, float]) -> float:
    """Return the chance that the ladder stands within the ends of a band, or at one."""
    return sum(chance for depth_m, chance in rung.items() if band["low_m"] <= depth_m <= band["high_m"])


def _end(rung: Sequence[tuple[float, float]]) -> float:
    """Return the depth before which a share next to a tenth lies; of two that are as near, the outer one."""
    before = accumulate((chance for _, chance in rung), initial=0.0)
    off = [abs(share - TENTH) for share, _ in zip(before, rung, strict=False)]
    return next(depth_m for (depth_m, _), far in zip(rung, off, strict=True) if far <= min(off) + NEARLY)


def quantile(rung: Mapping[float, float], share: float) -> float:
    """Return the shallowest depth up to which at least this share lies."""
    reached = 0.0
    for depth_m, chance in sorted(rung.items()):
        reached += chance
        if reached >= share - NEARLY:
            return depth_m
    return max(rung)


def reached_by(told: Sequence[Told], number: int, until: str | None = None) -> float:
    """Return the chance that so many goals are reached by a day, or by the last of all."""
    days = [day for day in told if until is None or day.date <= until]
    return sum(chance for goals, chance in days[-1].goals.items() if goals >= number) if days else 0.0


def _goal(asked: Asked, told: Sequence[Told], number: int, goal: tuple[str, Json], is_enough: bool) -> dict[str, Any]:
    name, fact = goal
    depth_m, on = fact["depth_m"], fact["on"]
    found = {"name": name, "depth_m": depth_m, "if_clean_on": on, "likely_on": None, "chance": None, "by_plan": None}
    if (on is not None and on < asked.today) or not told:
        return {**found, "says": fact["says"] if on is not None else asked.book.texts["outlook"]["no_days"]}
    chance = reached_by(told, number)
    if on is None:  # the plan does not reach it with clean dives alone
        return {**found, "chance": 0.0 if is_enough else None, "says": _not_reached(asked, depth_m, told)}
    likely = next((day.date for day in told if reached_by(told, number, day.date) >= MORE_LIKELY), None)
    if not is_enough:
        return {**found, "says": _no_percent(asked, depth_m, told, on)}
    by_plan = round(reached_by(told, number, on), 3)
    says = f"{_of_ten(chance)} seasons like this reach {show(depth_m)} m by {_day(told[-1].date)}"
    return {**found, "chance": round(chance, 3), "by_plan": by_plan, "likely_on": likely, "says": f"{says}."}


def _not_reached(asked: Asked, depth_m: float, told: Sequence[Told]) -> str:
    words: dict[str, str] = asked.book.texts["outlook"]
    return words["not_reached"].format(depth=show(depth_m), date=_day(told[-1].date))


def _no_percent(asked: Asked, depth_m: float, told: Sequence[Told], on: str) -> str:
    """Return where a goal lies beside the range of depths, without a number of chance."""
    band = band_of(told[-1].rung)
    where = "inside" if band["low_m"] <= depth_m <= band["high_m"] else "below" if depth_m > band["high_m"] else "above"
    words: dict[str, str] = asked.book.texts["outlook"]["range"]
    return f"{words[where].format(depth=show(depth_m))} If every dive is clean, the plan has it on {_day(on)}."


def _says(asked: Asked, disciplines: Mapping[str, Json]) -> list[str]:
    """Return the answer to the first question: for each discipline the goal that is still open, and its range."""
    found = []
    for name, fact in disciplines.items():
        goal = next((goal for goal in fact["goals"] if goal["name"] == "aim"), next(iter(fact["goals"]), None))
        parts = [goal["says"]] if goal else []
        if goal and goal["if_clean_on"] and goal["if_clean_on"] >= asked.today and goal["chance"] is not None:
            parts.append(f"If every dive is clean, it comes on {_day(goal['if_clean_on'])}.")
        found.append(f"{name}: {' '.join([*parts, fact['says']])}".strip())
    return [*found, asked.book.texts["outlook"]["about"]]


def _range(last: Told) -> str:
    band = band_of(last.rung)
    low, high, of_ten = show(band["low_m"]), show(band["high_m"]), _of_ten(inside(last.rung, band))
    where = f"at {low} m" if low == high else f"between {low} and {high} m"
    return f"By {_day(last.date)} the ladder stands {where} in {of_ten[0].lower()}{of_ten[1:]} seasons like this."


def _assumed(name: str, chances: Chances, book: Rulebook, is_named: bool) -> str:
    days, least = chances.near_days, book.value("forecast.least_days")
    kind = "mostly assumption" if days < least else "partly assumption" if days < 3 * least else "mostly your own log"
    whose, counted = f"{name}: " if is_named else "", "1 day" if days == 1 else f"{days} days"
    says = f"{whose}{kind} so far, {counted} with a deep dive near your best."
    return says[0].upper() + says[1:]


def _not_clean(bad: float, of: float) -> str:
    return (
        f"Of about {round(of)} deep dives still to come, about {round(bad)} turn early or are hard. "
        "That is part of training, not a failure."
    )


def _of_ten(chance: float) -> str:
    if chance < 0.05:
        return "Fewer than 1 of 10"
    return "More than 9 of 10" if chance > 0.95 else f"About {max(1, min(9, round(chance * 10)))} of 10"


def _day(day: str) -> str:
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B}"
