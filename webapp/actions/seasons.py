"""Seasons: list, save, make active, delete and bring back; preview and the plan of the active one."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from webapp import store
from webapp.actions import events, planning, sites, snapshots
from webapp.actions.errors import NotFound
from webapp.actions.planning import Current
from webapp.actions.times import stamp
from webapp.records.changes import raw_on
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import seasons as rows
from webapp.store.values import SeasonRow

NAME_LONGEST = 120
MOST_SEASONS = 200
EVER = "9999-12-31"  # a season as it stands on this day has all its changes


def list_seasons(user_id: int) -> list[SeasonRow]:
    """Return a diver's seasons in the order they were made."""
    with store.reading():
        return rows.list_seasons(user_id)


def get_season(user_id: int, season_id: int) -> SeasonRow:
    """Return a season of this diver, or raise NotFound."""
    with store.reading():
        return own(user_id, season_id)


def active_season(user_id: int) -> SeasonRow | None:
    """Return the season that the phone follows, or None."""
    with store.reading():
        return rows.active_season(user_id)


def save_season(
    user_id: int, season_id: int | None, name: str, raw: Any, now: datetime, found: Iterable[Fault] = (),
    today: str = "", shown: str | None = None,
) -> SeasonRow:  # fmt: skip
    """Save a new season, or a changed one; a new one becomes active when none is, or when the active one is over.

    `today` is the diver's date: an active season whose last day is before it is over. `shown` is the record of the
    site that the form showed. Raises Refused with every fault, those that the form `found` by itself first.
    """
    before = None if season_id is None else get_season(user_id, season_id)
    raw, site = settled(user_id, _with_edition(raw, before), before.raw if before else {}, shown)
    check(name, raw, found)
    with store.transaction():
        sites.add(user_id, site, now)
        if season_id is None:
            return _add(user_id, name, raw, now, today)
        row = own(user_id, season_id)
        rows.change_season(row.id, name.strip(), raw, stamp(now))
        return own(user_id, row.id)


def settled(user_id: int, raw: Any, before: Any, shown: str | None = None) -> sites.Settled:
    """Return a season as typed with the record of its site; `before` is the season as stored, {} for a new one."""
    with store.reading():
        known = sites.known(user_id)
    site = before.get("site") if isinstance(before, dict) else None
    return sites.settle(raw, site if isinstance(site, dict) else {}, known, shown)


def activate(user_id: int, season_id: int) -> SeasonRow:
    """Make this the season that the phone follows."""
    with store.transaction():
        row = own(user_id, season_id)
        rows.make_active(user_id, row.id)
        return own(user_id, row.id)


def delete_season(user_id: int, season_id: int, now: datetime) -> None:
    """Delete a season, which can be brought back; the log is the diver's and stays."""
    with store.transaction():
        row = own(user_id, season_id)
        rows.set_deleted(user_id, row.id, True)
        events.note(user_id, "season_deleted", now)


def restore_season(user_id: int, season_id: int, now: datetime) -> SeasonRow:
    """Bring a deleted season back; it becomes active when no other one is. Raises Refused when there are too many."""
    with store.transaction():
        if not rows.set_deleted(user_id, season_id, False):
            raise NotFound
        _room(user_id, 0)
        events.note(user_id, "season_restored", now)
        if rows.active_season(user_id) is None:
            rows.make_active(user_id, season_id)
        return _with_site(user_id, own(user_id, season_id), now)


def _with_site(user_id: int, row: SeasonRow, now: datetime) -> SeasonRow:
    """Give a season that was deleted before sites were records the record of its site."""
    if snapshots.site_of(row.raw, row.raw["first_day"]):
        return row
    raw, site = sites.settle(row.raw, {}, sites.known(user_id))
    sites.add(user_id, site, now)
    rows.change_season(row.id, row.name, raw, row.changed_at)
    return own(user_id, row.id)


def preview(raw: object, log: Sequence[dict[str, Any]], today: str) -> dict[str, Any]:
    """Return the plan of a season without saving it; raises Refused with every fault."""
    return planning.plan_of(raw, log, today)


def plan_of(user_id: int, season_id: int, today: str) -> dict[str, Any]:
    """Return the plan of a stored season; raises NotFound, or NotPlanned with what is wrong with it."""
    row = get_season(user_id, season_id)
    try:
        return planning.plan_of(row.raw, log_of(user_id), today)
    except planning.NOT_PLANNED as error:
        raise planning.not_planned(error) from error


def current(user_id: int, today: str) -> Current | None:
    """Return the active season with its sheet and plan, or None."""
    with store.reading():
        return planning.current_of(user_id, today)


def log_of(user_id: int) -> list[dict[str, Any]]:
    """Return the diver's whole log as the planner reads it."""
    with store.reading():
        return planning.log_in_order(user_id)


def _add(user_id: int, name: str, raw: dict[str, Any], now: datetime, today: str) -> SeasonRow:
    _room(user_id, 1)
    season_id = rows.add_season(user_id, name.strip(), raw, stamp(now))
    active = rows.active_season(user_id)
    if active is None or _is_over(active, today):
        rows.make_active(user_id, season_id)
    return own(user_id, season_id)


def _is_over(row: SeasonRow, today: str) -> bool:
    """Tell whether the last day of a season, with all its changes, is before `today`."""
    return str(raw_on(row.raw, EVER).get("last_day")) < today


def _with_edition(raw: Any, row: SeasonRow | None) -> Any:
    """Return a season that says with which edition of the rulebook it was made: a new one with the current one."""
    if not isinstance(raw, dict) or raw.get("book") is not None:
        return raw
    return {**raw, "book": row.raw["book"] if row and "book" in row.raw else read_rulebook().edition}


def _room(user_id: int, more: int) -> None:
    """Raise Refused when this many more would be too many: listing the seasons reads each of them completely."""
    if len(rows.list_seasons(user_id)) + more > MOST_SEASONS:
        raise Refused([Fault("", f"There are {MOST_SEASONS} seasons already: delete one first")])


def check(name: str, raw: Any, found: Iterable[Fault] = ()) -> None:
    """Raise Refused with every fault of a season and its name, those that were `found` before first."""
    faults = list(found)
    if not name.strip():
        faults.append(Fault("name", "is missing"))
    elif len(name) > NAME_LONGEST or not name.isprintable():
        faults.append(Fault("name", f"must be plain text of at most {NAME_LONGEST} characters"))
    try:
        planning.check_together(raw)
    except Refused as refused:
        faults.extend(refused.faults)
    if faults:
        raise Refused(faults)


def own(user_id: int, season_id: int) -> SeasonRow:
    """Return a season of this diver inside an open transaction, or raise NotFound."""
    row = rows.get_season(user_id, season_id)
    if row is None:
        raise NotFound
    return row
