"""Sites: which record a season's site has, made when there is none yet, and what a picked one fills in."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, NamedTuple
from uuid import uuid4

from webapp import store
from webapp.actions import snapshots, sync
from webapp.actions.histories import SHORE
from webapp.actions.times import stamp
from webapp.records.written import WATERS
from webapp.store import feeds, journal, kept_logs

Raw = dict[str, Any]
Json = Mapping[str, Any]
FILLED = ("name", "bottom_m", "water", "latitude", "temperature_c", "altitude_m", "salinity")  # of season and record
EMPTY = (None, "")


class Settled(NamedTuple):
    """A season as typed whose site has its record; `new` is that record when it is still to be made."""

    raw: Any
    new: Raw | None = None


def known(user_id: int) -> dict[str, Raw]:
    """Return a diver's sites by id, in the order of their names; the caller has a transaction open."""
    sites = [record for record in kept_logs.log_of(feeds.log_feed(user_id)) if record["kind"] == "site"]
    return {site["id"]: site for site in sorted(sites, key=lambda site: (site["name"].casefold(), site["id"]))}


def listed(user_id: int) -> dict[str, Raw]:
    """Return a diver's sites by id, in the order of their names."""
    with store.reading():
        return known(user_id)


def of_season(user_id: int, raw: Raw, today: str) -> Raw | None:
    """Return the site of a stored season as it is on this day, None when it has none any more."""
    return known(user_id).get(snapshots.site_of(raw, today) or "")


def settle(raw: Any, before: Json, sites: Mapping[str, Raw], shown: str | None = None) -> Settled:
    """Return the season with the record of its site, and what a newly picked one says where nothing was typed.

    `before` is the site as stored, `shown` the record that the form showed. A name that was typed counts for more than
    a choice: a site of that name is taken, or made. Nothing is checked here; what cannot be read stays as it is.
    """
    site = raw.get("site") if isinstance(raw, Mapping) else None
    if not isinstance(site, Mapping) or not isinstance(site.get("name") or "", str):
        return Settled(raw)
    if _same_place(site, before):
        return Settled({**raw, "site": {**site, "record": before["record"]}} if before.get("record") else raw)
    picked = sites.get(str(site.get("record")))
    if picked and picked["id"] not in (shown, before.get("record")):
        site = _without_shown(site, before, sites.get(shown or "", {}), {"water": WATERS[0]})
    name = str(site.get("name") or "").strip()
    if picked and name and name.casefold() != picked["name"].strip().casefold():
        picked = None
    found = picked or next((one for one in sites.values() if one["name"].strip().casefold() == name.casefold()), None)
    if found:
        return Settled({**raw, "site": {**_filled(site, found if picked else {}), "record": found["id"]}})
    if not name:
        return Settled({**raw, "site": {part: value for part, value in site.items() if part != "record"}})
    new = {"id": str(uuid4()), **{part: site[part] for part in FILLED if site.get(part) not in EMPTY}}
    return Settled({**raw, "site": {**site, "record": new["id"]}}, new)


def add(user_id: int, new: Raw | None, now: datetime) -> None:
    """Write a new site through the same door as a phone's: it is in the journal, and every phone gets it."""
    if new is None:
        return
    fields = {name: value for name, value in new.items() if name != "id"}
    what = {"op": str(uuid4()), "schema": 1, "kind": "site", "record": new["id"], "action": "put", "fields": fields}
    counter = journal.last_counter(user_id, SHORE) + 1
    asked = {**what, "base": 0, "counter": counter, "made_at": stamp(now)}
    sync.take(user_id, SHORE, [asked], stamp(now))


def _same_place(site: Json, before: Json) -> bool:
    """Tell whether name and record are those stored: a site renamed on the phone must not become another one."""
    name = site.get("name") or ""
    return bool(before) and name == (before.get("name") or "") and site.get("record") in (None, before.get("record"))


def _without_shown(site: Json, *shown: Json) -> Raw:
    """Return what was typed over the values that the form showed: those belong to the site that was left."""
    return {part: value for part, value in site.items() if part not in FILLED or not _is_shown(part, value, shown)}


def _is_shown(part: str, value: Any, shown: tuple[Json, ...]) -> bool:
    return any(part in one and value == one[part] for one in shown)


def _filled(site: Json, found: Json) -> Raw:
    return {**site, **{part: found[part] for part in FILLED if part in found and site.get(part) in EMPTY}}
