"""Changing a stored season: from a day on, or corrected from the start; its preview; and taking a change back."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from webapp import store
from webapp.actions import planning, seasons, sites
from webapp.actions.errors import NotFound, PastChanges
from webapp.actions.times import stamp
from webapp.planner.comparison import Row, compared, idle_since, past_targets
from webapp.records.changes import raw_on
from webapp.records.changing import (
    Edit,
    edited,
    from_the_start,
    later_of_same,
    parts_changed,
    taken_back,
    with_all,
)
from webapp.rulebook.checks import Faults
from webapp.rulebook.dates import check_day
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import seasons as rows
from webapp.store.values import SeasonRow

Raw = dict[str, Any]
EVER = seasons.EVER
FIXED = "first_day"
_CHANGE = re.compile(r"changes\[(\d+)\]\.(?:set\.)?(.+)")


@dataclass(frozen=True)
class Holds:
    """From which day an edit holds (None: it corrects from the start), why, and as of which day it was shown."""

    from_day: str | None
    why: str
    shown_on: str


@dataclass(frozen=True)
class Preview:
    """The plan of a season as typed beside the plan as stored, and since when that one waits for a dive."""

    raw: Raw
    plan: Raw
    rows: list[Row]
    idle_since: str | None = None


def usual(user_id: int, row: SeasonRow, today: str, wanted: str = "") -> Holds:
    """Return from when an edit holds if the diver says nothing: tomorrow, or the start when nothing was dived yet.

    `wanted` is the day of a proposal: an edit that fills it in begins no earlier.
    """
    raw, last = row.raw, str(raw_on(row.raw, EVER).get("last_day"))
    tomorrow = min(max((date.fromisoformat(today) + timedelta(days=1)).isoformat(), wanted), last)
    if tomorrow <= str(raw.get("first_day")) or not _is_begun(raw, last, seasons.log_of(user_id)):
        return Holds(None, "", today)
    return Holds(tomorrow, "", tomorrow)


def change(
    user_id: int, season_id: int, name: str, typed: Raw, holds: Holds, now: datetime, today: str,
    found: Iterable[Fault] = (), *, is_seen: bool = False, shown: str | None = None,
) -> tuple[SeasonRow, list[str]]:  # fmt: skip
    """Save what was typed; return the season, and the days of later changes that set the same once more.

    Raises Refused with every fault; PastChanges when targets of days gone by would read differently, unless `is_seen`.
    """
    row = seasons.get_season(user_id, season_id)
    typed, site = seasons.settled(user_id, typed, raw_on(row.raw, holds.shown_on), shown)
    edit = _edit(row.raw, typed, holds)
    raw = _checked(name, row.raw, typed, edit, found)
    if not is_seen:
        _raise_if_past_changes(row.raw, raw, seasons.log_of(user_id), today)
    with store.transaction():
        seasons.own(user_id, row.id)
        sites.add(user_id, site, now)
        rows.change_season(row.id, name.strip(), raw, stamp(now))
        return seasons.own(user_id, row.id), later_of_same(row.raw, edit)


def preview(user_id: int, season_id: int, typed: Raw, holds: Holds, today: str, shown: str | None = None) -> Preview:
    """Return the plan of what was typed beside the stored one; with nothing changed, beside that of the last dive."""
    row, log = seasons.get_season(user_id, season_id), seasons.log_of(user_id)
    typed = seasons.settled(user_id, typed, raw_on(row.raw, holds.shown_on), shown).raw
    edit = _edit(row.raw, typed, holds)
    raw = _checked(row.name, row.raw, typed, edit, ())
    plan, before = planning.plan_of(raw, log, today), _plan_or_none(row.raw, log, today)
    if before is None or planning.waits(plan):
        return Preview(raw, plan, [])
    if edit.parts or typed.get(FIXED) != row.raw.get(FIXED):
        return Preview(raw, plan, compared(before, plan, today))
    since = idle_since(plan, today)
    if since is None:
        return Preview(raw, plan, [])
    return Preview(raw, plan, compared(planning.plan_of(raw, log, since), plan, today), since)


def after(row: SeasonRow, typed: Raw, holds: Holds) -> Raw:
    """Return a stored season as an edit would leave it, without saving; raises Refused with every fault."""
    return _checked(row.name, row.raw, typed, _edit(row.raw, typed, holds), ())


def change_diver(user_id: int, season_id: int, diver: Raw, now: datetime, found: Iterable[Fault] = ()) -> SeasonRow:
    """Save body, suit, lungs and alarms for the whole season: they change no target."""
    row = seasons.get_season(user_id, season_id)
    raw = from_the_start(row.raw, "diver", diver)
    return seasons.save_season(user_id, row.id, row.name, raw, now, found)


def take_back(user_id: int, season_id: int, day: str, today: str, now: datetime) -> SeasonRow:
    """Take back a change that has not begun; raises Refused when it has, NotFound when there is none of this day."""
    row = seasons.get_season(user_id, season_id)
    raw = taken_back(row.raw, day)
    if raw is None:
        raise NotFound
    if day <= today:
        raise Refused([Fault("", "This change has begun: make another change from a day on, or correct the season")])
    return seasons.save_season(user_id, row.id, row.name, raw, now)


def _edit(raw: Raw, typed: Raw, holds: Holds) -> Edit:
    parts = parts_changed(raw, typed, holds.shown_on, read_rulebook())
    return Edit(parts, holds.from_day, holds.why, holds.shown_on)


def _checked(name: str, raw: Raw, typed: Raw, edit: Edit, found: Iterable[Fault]) -> Raw:
    """Return the season after an edit, or raise Refused with every fault in the words of the form."""
    faults = list(found)
    if edit.from_day is not None and typed.get(FIXED, raw.get(FIXED)) != raw.get(FIXED):
        faults.append(Fault(FIXED, "can only be corrected from the start: choose that at the end of the form"))
    try:
        _check_day(edit.from_day)
        after = _after(raw, typed, edit)
    except Refused as refused:
        faults.extend(refused.faults)
        after = with_all(raw, typed)  # to find every other fault
    try:
        seasons.check(name, after, faults)
    except Refused as refused:
        raise Refused([_in_words(fault, after, edit) for fault in refused.faults]) from refused
    return after


def _check_day(day: str | None) -> None:
    faults = Faults()
    if day is not None:
        check_day(day, "from", read_rulebook(), faults)
    faults.refuse_if_any()


def _after(raw: Raw, typed: Raw, edit: Edit) -> Raw:
    if edit.from_day is not None:
        return edited(raw, edit) if edit.parts else raw
    if not raw.get("changes"):
        return with_all(raw, typed)
    return {**edited(raw, edit), FIXED: typed.get(FIXED, raw.get(FIXED))}


def _in_words(fault: Fault, raw: Raw, edit: Edit) -> Fault:
    """Return a fault of the change being made as one of the typed field; one of another change names its day."""
    part = _CHANGE.fullmatch(fault.field)
    if part is None:
        return fault
    day = raw["changes"][int(part[1])]["from"]
    if day == edit.from_day:
        return Fault(part[2], fault.says)
    return Fault("from", f"does not go with the change from {day}: {part[2]} {fault.says}")


def _raise_if_past_changes(before: Raw, after: Raw, log: list[Raw], today: str) -> None:
    if not _is_begun(before, EVER, log):
        return
    old = _plan_or_none(before, log, today)
    past = past_targets(old, planning.plan_of(after, log, today), today) if old else []
    if past:
        raise PastChanges(past)


def _plan_or_none(raw: Raw, log: list[Raw], today: str) -> Raw | None:
    try:
        return planning.plan_of(raw, log, today)
    except planning.NOT_PLANNED:
        return None


def _is_begun(raw: Raw, last: str, log: list[Raw]) -> bool:
    return any(record["kind"] == "dive" and raw["first_day"] <= record["date"] <= last for record in log)
