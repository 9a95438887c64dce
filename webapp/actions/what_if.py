"""Whether the window of a season is enough, and what lost days, another rhythm or another goal would do to it."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Any

from webapp import store
from webapp.actions import changing, planning, seasons
from webapp.actions.changing import Holds
from webapp.forecast.forecast import COARSE, forecast_of
from webapp.forecast.steps import KnownSteps
from webapp.forecast.variants import rhythm, variants_of
from webapp.forecast.window import Window, from_plan, is_by_plan, rows_of, window_of
from webapp.planner.comparison import Row, compared
from webapp.planner.reader import ladder
from webapp.planner.together import sheet_of
from webapp.records.changes import raw_on
from webapp.records.changing import parts_changed
from webapp.records.season import season_and_book
from webapp.rulebook.checks import Faults
from webapp.rulebook.dates import check_day
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook
from webapp.store.values import SeasonRow

Raw = dict[str, Any]
KEPT = 64
GOALS = ("floor_m", "aim_m", "dream_m")
FIELDS = ("lost_from", "lost_to", "days_on", "days_off", "goal_of", "goal", "goal_m", "from", "why")
ASKED = ("lost_from", "lost_to", "days_on", "days_off", "goal_m")  # what asks for something else than the plan


@dataclass(frozen=True)
class Answer:
    """A plan as saved and as asked side by side, none while a clearance is missing, and what both forecasts say."""

    plans: list[Row]
    chances: list[Row]
    says: list[str]


@dataclass(frozen=True)
class Outlook:
    """The forecast of the active season in sentences, whether its window is enough, and each of the cautions."""

    cautions: list[str]
    says: list[str]
    window: Window


def outlook_of(user_id: int, row: SeasonRow, today: str) -> Outlook:
    """Return the answer for a stored season, kept as long as log and season stay as they are; raises NotPlanned."""
    return outlook_of_typed(user_id, row.raw, today)


def outlook_of_typed(user_id: int, raw: Raw, today: str) -> Outlook:
    """Return the answer for a checked season as typed, also one that is not saved; raises NotPlanned."""
    try:
        with store.reading():
            return _outlook(planning.log_id(user_id), json.dumps(raw), user_id, today)
    except planning.NOT_PLANNED as error:
        raise planning.not_planned(error) from error


def usual_day(user_id: int, row: SeasonRow, today: str) -> str:
    """Return the day from which a change holds if the diver says nothing; "" before anything was dived."""
    return changing.usual(user_id, row, today).from_day or ""


def ask(user_id: int, row: SeasonRow, asked: Raw, today: str, found: Iterable[Fault] = ()) -> Answer:
    """Return both plans and both forecasts; raises Refused with every fault of what was typed."""
    typed, holds = _read(user_id, row, asked, today, found)
    try:
        raw, log = changing.after(row, typed, holds), seasons.log_of(user_id)
    except Refused as refused:
        raise Refused(_in_words(refused.faults, asked)) from refused
    (_, before, was), (_, after, now) = (replanned(one, log, today) for one in (row.raw, raw))
    chances = rows_of(was, now, today, read_rulebook())
    says = [str(one["none_because"]) for one in (was, now) if one["none_because"] is not None]
    plans = [] if planning.waits(after) else compared(before, after, today)
    return Answer(plans, chances, list(dict.fromkeys(says)))


def apply(
    user_id: int, row: SeasonRow, asked: Raw, today: str, now: datetime, found: Iterable[Fault] = ()
) -> tuple[SeasonRow, list[str]]:
    """Save it as a change from a day on, with its reason; raises Refused with every fault of what was typed."""
    typed, holds = _read(user_id, row, asked, today, found)
    try:
        return changing.change(user_id, row.id, row.name, typed, holds, now, today)
    except Refused as refused:
        raise Refused(_in_words(refused.faults, asked)) from refused


@lru_cache(maxsize=KEPT)
def _outlook(log_id: tuple[str, int, int], raw_json: str, user_id: int, today: str) -> Outlook:
    raw, log, book = json.loads(raw_json), planning.log_in_order(user_id), read_rulebook()
    own, known = planning.own_book(raw), KnownSteps()
    base = replanned(raw, log, today, None, known)
    forecast = base[2]

    def replan(one: Raw) -> tuple[Raw, Raw, Raw]:
        return base if one is raw else replanned(one, log, today, forecast, known)

    window = window_of(raw, variants_of(raw, own, today), replan, today, own)
    cautions = [*book.texts["outlook"]["cautions"], *book.texts["window"]["cautions"]]
    says = [forecast["none_because"]] if forecast["none_because"] else [*forecast["says"], forecast["assumed_says"]]
    return Outlook(cautions, says, window)


def replanned(
    raw: Raw, log: list[Raw], today: str, base: Raw | None = None, known: KnownSteps | None = None
) -> tuple[Raw, Raw, Raw]:
    """Return sheet, plan and forecast of a season as typed; nothing of it is kept, the mean speeds are the book's.

    Beside a `base` forecast it has the plan's dates alone where these answer, as where the log is too short.
    """
    season, own = season_and_book(raw, read_rulebook())
    rules = season.changes[-1].rules if season.changes else own
    sheet = sheet_of(season, own)
    plan = ladder.read(sheet, log, today)
    if base and is_by_plan(plan, base, today):
        return sheet, plan, from_plan(plan, base)
    return sheet, plan, forecast_of(sheet, log, today, plan, rules, COARSE, known)


def _read(user_id: int, row: SeasonRow, asked: Raw, today: str, found: Iterable[Fault]) -> tuple[Raw, Holds]:
    """Return the parts of the season that are asked for and from when they hold, or raise Refused with every fault."""
    faults = Faults()
    faults.found.extend(found)
    holds = _holds(user_id, row, asked, today, faults)
    faults.text(asked.get("why"), "why", read_rulebook().limit("note")[1])
    shown = raw_on(row.raw, holds.shown_on)
    if all(asked.get(name) is None for name in ASKED):
        faults.add("", "Nothing else is asked for: type lost days, another rhythm or another goal")
    parts = {**_lost(shown, asked, holds, faults), **_goal(shown, asked, faults)}
    if asked.get("days_on") is not None or asked.get("days_off") is not None:
        parts["blocks"] = rhythm(shown, read_rulebook(), holds.shown_on, asked.get("days_on"), asked.get("days_off"))
    if faults.found:
        raise Refused([*faults.found, *_other_faults(row, parts, holds, asked, faults.found)])
    if not parts_changed(row.raw, parts, holds.shown_on, read_rulebook()):
        raise Refused([Fault("", "The plan has this already: nothing would change")])
    return parts, holds


def _other_faults(row: SeasonRow, parts: Raw, holds: Holds, asked: Raw, known: list[Fault]) -> list[Fault]:
    """Return what the season's own check says beside what is known: every fault is shown at once."""
    if not parts:
        return []
    fields = {fault.field for fault in known}
    try:
        changing.after(row, parts, holds)
    except Refused as refused:
        return [fault for fault in _in_words(refused.faults, asked) if fault.field not in fields]
    return []


def _holds(user_id: int, row: SeasonRow, asked: Raw, today: str, faults: Faults) -> Holds:
    usual, day = changing.usual(user_id, row, today), asked.get("from")
    why = str(asked.get("why") or "")
    if day is None and usual.from_day is None:
        return Holds(None, why, today)
    tried = Faults()
    check_day(day, "from", read_rulebook(), tried)
    if not tried.found and str(day) <= today:
        tried.add("from", "must be after today: what was planned until now stays")
    last = str(raw_on(row.raw, changing.EVER).get("last_day"))
    if not tried.found and str(day) > last:
        tried.add("from", f"is after the last day of the season, {last}")
    faults.found.extend(tried.found)
    if tried.found:
        return Holds(usual.from_day, why, usual.from_day or today)
    return Holds(str(day), why, str(day))


def _lost(shown: Raw, asked: Raw, holds: Holds, faults: Faults) -> Raw:
    """Return the closed days with those that are lost."""
    typed = {name: asked.get(name) for name in ("lost_from", "lost_to")}
    if all(day is None for day in typed.values()):
        return {}
    before = len(faults.found)
    first, last = (check_day(day, name, read_rulebook(), faults) for name, day in typed.items())
    if first and holds.from_day and first < holds.from_day:
        faults.add("lost_from", "is before the day from which the change holds")
    if first and last and last < first:
        faults.add("lost_to", "is before the first lost day")
    if last and last > str(shown.get("last_day")):
        faults.add("lost_to", f"is after the last day of the season, {shown.get('last_day')}")
    if len(faults.found) > before:
        return {}
    return {"closed_days": sorted({*(shown.get("closed_days") or []), *_each_day(first, last)})}


def _each_day(first: str, last: str) -> list[str]:
    begin, end = date.fromisoformat(first), date.fromisoformat(last)
    return [(begin + timedelta(days=n)).isoformat() for n in range((end - begin).days + 1)]


def _goal(shown: Raw, asked: Raw, faults: Faults) -> Raw:
    """Return the disciplines with another depth of one goal."""
    depth_m = asked.get("goal_m")
    if depth_m is None:
        return {}
    name = faults.choice(asked.get("goal_of"), "goal_of", [level["discipline"] for level in shown["disciplines"]])
    goal = faults.choice(asked.get("goal"), "goal", GOALS)
    if name is None or goal is None:
        faults.number(depth_m, "goal_m", *read_rulebook().limit("depth_m"))
        return {}
    levels = [
        {**level, "goals": {**(level.get("goals") or {}), goal: depth_m}} if level["discipline"] == name else level
        for level in shown["disciplines"]
    ]
    return {"disciplines": levels}


def _in_words(faults: Iterable[Fault], asked: Raw) -> list[Fault]:
    """Return the faults of the season as those of what was typed here, each once."""
    return list(dict.fromkeys(_one_in_words(fault, asked) for fault in faults))


def _one_in_words(fault: Fault, asked: Raw) -> Fault:
    last = fault.field.rpartition(".")[2]
    if last in ("days_on", "days_off", "from", "why"):
        return Fault(last, fault.says)
    if fault.field.startswith("closed_days"):
        return Fault("lost_to", fault.says)
    if last == asked.get("goal"):
        return Fault("goal_m", fault.says)
    if last in GOALS:
        return Fault("goal_m", f"does not go with the goal {last.removesuffix('_m')}, which {fault.says}")
    return fault
