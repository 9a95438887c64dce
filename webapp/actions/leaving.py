"""Leaving: everything of one diver as open files, and the deletion of an account with everything in it."""

import json
from datetime import datetime
from typing import Any

from webapp import store
from webapp.actions import accounts, crews, events, planning
from webapp.actions.errors import NotFound
from webapp.actions.times import local_day, stamp
from webapp.formats.csv import table
from webapp.formats.icalendar import calendar
from webapp.protocol.kinds import KINDS, LOG, of_feed
from webapp.protocol.values import Entry
from webapp.rulebook.checks import named_halves
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import feeds, journal, links, seasons, users
from webapp.store.values import User

FORGET_S = 1  # to wait for readers; after that each request tries again


def user_of(name: str) -> User:
    """Return the diver of this name, or raise NotFound."""
    with store.reading():
        found = users.find_user(accounts.key_of(name))
    if found is None:
        raise NotFound
    return found.user


def export(user_id: int, now: datetime) -> dict[str, str]:
    """Return everything of a diver as files, name to text; seasons and log as the command `plan` reads them."""
    with store.reading():
        user = users.get_user(user_id)
        if user is None:
            raise NotFound
        log, rows = planning.log_in_order(user_id), seasons.all_seasons(user_id)
        current = planning.current_if_any(user_id, local_day(now, user.utc_offset_min))
        history = [_entry(entry) for entry in journal.all_entries(feeds.log_feed(user_id))]
        given = [{"label": link.label, "made_at": link.made_at} for link in links.list_links(user_id)]
        people = feeds.people(feeds.log_feed(user_id))
        shared = [{"name": one.name, "rights": sorted(one.rights), "since": one.since} for one in people]
        in_crews = crews.exported(user_id)
    listed = [{"file": f"season-{row.id}.json", "name": row.name, "active": row.active, "deleted": row.deleted,
               "changed_at": row.changed_at} for row in rows]  # fmt: skip
    account = {"name": user.name, "created_at": user.created_at, "seasons": listed, "links": given, "people": shared}
    files = {"account.json": _json(account), "log.json": _json(log), "history.json": _json(history)}
    if in_crews:
        files["crews.json"] = _json(in_crews)
    files |= {f"season-{row.id}.json": _json(row.raw) for row in rows}
    for name in of_feed(LOG):
        kind = KINDS[name]
        files[kind.file] = table(("id", *kind.fields), (record for record in log if record["kind"] == name))
    if current is not None:
        cautions = read_rulebook().texts["cautions"]["season"]
        files["plan.ics"] = calendar(current.plan, current.row.name, current.row.id, stamp(now), cautions)
    return {name: named_halves(text) for name, text in files.items()}  # the journal holds what was refused too


def delete_account(user_id: int, name: str, password: str, now: datetime) -> None:
    """Delete a diver with everything of theirs, for good; raises Refused unless name and password are right."""
    user = accounts.get_user(user_id)
    if user is None:
        raise NotFound
    faults = [] if accounts.is_name(user, name) else [Fault("typed_name", "must be the name of this account")]
    if not accounts.is_password(user_id, password):
        accounts.note_refused(user_id, now)
        faults.append(Fault("password", "is wrong"))
    if faults:
        raise Refused(faults)
    with store.transaction():
        crews.pass_on(user_id, now)
        users.delete_user(user_id)
    events.tell(user_id, "account_deleted", now)
    store.forget_deleted(longest_s=FORGET_S)


def _entry(entry: Entry) -> dict[str, Any]:
    said = [{"field": fault.field, "says": fault.says} for fault in entry.faults]
    return {**entry._asdict(), "asked": entry.asked._asdict(), "faults": said}


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"
