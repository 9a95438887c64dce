"""Setting up a season: what the log and the last season say, and the proposal made from a few values."""

from collections.abc import Mapping, Sequence
from typing import Any

from webapp import store
from webapp.actions import planning
from webapp.planner.proposal import MOST_LEVELS, known_from, name_of, proposed
from webapp.records.changes import raw_on
from webapp.rulebook.faults import Refused
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook
from webapp.store import seasons
from webapp.store.values import SeasonRow

Raw = dict[str, Any]


def starting_point(user_id: int, today: str) -> Raw:
    """Return what is known before anything is typed: the site of the last season, and levels from the log."""
    with store.reading():
        rows, log = seasons.list_seasons(user_id), planning.log_in_order(user_id)
    known = [one for one in known_from(log, today, read_rulebook()) if one.comfortable_m is not None]
    levels = [
        {"discipline": one.discipline, "comfortable_m": one.comfortable_m, "comfortable_on": one.comfortable_on}
        for one in known[:MOST_LEVELS]
    ]
    return {"site": _last_site(rows, today), "levels": levels}


def propose(user_id: int, wish: Raw, today: str) -> tuple[str, Raw, Raw]:
    """Return name, season and plan of what is proposed; raises Refused with every fault of the wish."""
    with store.reading():
        rows, log = seasons.list_seasons(user_id), planning.log_in_order(user_id)
    last, site = _last_site(rows, today), wish["site"]
    if site.get("name") and site["name"] == last.get("name"):
        wish = {**wish, "site": {**last, **site}}
    bests = {one.discipline: one.best_m for one in known_from(log, today, read_rulebook())}
    raw = {**proposed(wish, bests, _book_of(rows, today)), "diver": kept_diver(rows)}
    return name_of(wish), raw, planning.plan_of(raw, log, today)


def kept_diver(rows: Sequence[SeasonRow]) -> Raw:
    """Return the diver of the newest season that has one: body and suit go with a diver from season to season."""
    return next((row.raw["diver"] for row in reversed(rows) if row.raw.get("diver")), {})


def _last_site(rows: Sequence[SeasonRow], today: str) -> Raw:
    site = raw_on(rows[-1].raw, today).get("site") if rows else None
    return dict(site) if isinstance(site, Mapping) else {}


def _book_of(rows: Sequence[SeasonRow], today: str) -> Rulebook:
    """Return the rulebook with the last season's own rules: a diver who changed the proposal's numbers keeps them."""
    try:
        return planning.checked_on(rows[-1].raw, today)[1] if rows else read_rulebook()
    except Refused:
        return read_rulebook()
