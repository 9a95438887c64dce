"""Sites are records of their own: each season saved before gets one for each place it names.

The record is written as the app itself would have done it, with its journal entry and the diver's next change number,
so that every phone gets it at its next sync, whatever it has read before.
"""

import json
import sqlite3
from typing import Any
from uuid import NAMESPACE_URL, uuid5

SHORE = str(uuid5(NAMESPACE_URL, "lineslate shore pages"))  # the device id under which the app itself writes
FIELDS = ("name", "bottom_m", "water", "latitude", "temperature_c", "altitude_m", "salinity")


def up(connection: sqlite3.Connection) -> None:
    """Give each season that is not deleted the record of its site, and each change of it that sets another site."""
    seasons = "SELECT id, user_id, raw_json, changed_at FROM season WHERE NOT deleted ORDER BY id"
    for season_id, user_id, raw_json, at in connection.execute(seasons).fetchall():
        raw = json.loads(raw_json)
        parts = [raw, *(change.get("set") for change in raw.get("changes") or [])] if isinstance(raw, dict) else []
        sites = [part["site"] for part in parts if isinstance(part, dict) and isinstance(part.get("site"), dict)]
        named = [site for site in sites if isinstance(site.get("name"), str) and site["name"].strip()]
        for site in named:
            site["record"] = _record(connection, user_id, site, at)
        if named:
            connection.execute("UPDATE season SET raw_json = ? WHERE id = ?", (json.dumps(raw), season_id))


def _record(connection: sqlite3.Connection, user_id: int, site: dict[str, Any], at: str) -> str:
    """Return the id of the record of this place, which is written when the diver has none of this name and position."""
    place = f"{user_id} {site['name'].strip().casefold()} {site.get('latitude')}"
    record = str(uuid5(NAMESPACE_URL, f"lineslate site {place}"))
    have = connection.execute("SELECT 1 FROM record WHERE user_id = ? AND record = ?", (user_id, record)).fetchone()
    if not have:
        _write(connection, user_id, record, {name: site[name] for name in FIELDS if site.get(name) is not None}, at)
    return record


def _write(connection: sqlite3.Connection, user_id: int, record: str, fields: dict[str, Any], at: str) -> None:
    asked = "SELECT coalesce(max(counter), 0) + 1 FROM journal WHERE user_id = ? AND device = ?"
    (counter,) = connection.execute(asked, (user_id, SHORE)).fetchone()
    op, text = str(uuid5(NAMESPACE_URL, f"lineslate site made {record}")), json.dumps(fields)
    connection.execute(
        "INSERT INTO journal (user_id, op, device, counter, kind, record, action, fields, base, made_at, received_at,"
        " status, rev, before, after, conflict, faults)"
        " VALUES (?, ?, ?, ?, 'site', ?, 'put', ?, 0, ?, ?, 'stored', 1, '{}', ?, '[]', '[]')",
        (user_id, op, SHORE, counter, record, text, at, at, text),
    )
    connection.execute("UPDATE user SET seq = seq + 1 WHERE id = ?", (user_id,))
    connection.execute(
        "INSERT INTO record (user_id, kind, record, fields, revs, writers, rev, deleted, seq)"
        " SELECT id, 'site', ?, ?, ?, ?, 1, 0, seq FROM user WHERE id = ?",
        (record, text, json.dumps(dict.fromkeys(fields, 1)), json.dumps({"1": SHORE}), user_id),
    )
