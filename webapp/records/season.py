"""The strict check of a season: all faults at once, in plain words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from ..rulebook.checks import Faults, is_day, show
from ..rulebook.dates import check_day
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .blocks import check_blocks
from .changes import check_changes
from .diver import check_diver
from .levels import check_levels
from .model import Season, Site
from .written import WATERS

UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")
FIXED_FIELDS = ("first_day", "book")  # what a change cannot change
CHANGEABLE_FIELDS = (
    "last_day", "blocks", "days_on", "days_off", "block_days", "break_days", "closed_days",
    "site", "disciplines", "lead", "drill", "diver", "rules",
)  # fmt: skip
SEASON_FIELDS = (*FIXED_FIELDS, *CHANGEABLE_FIELDS)
SITE_FIELDS = ("name", "bottom_m", "water", "latitude", "temperature_c", "altitude_m", "salinity", "record")


def check_season(raw: object, book: Rulebook) -> Season:
    """Return the season, or raise Refused with every fault and the field it belongs to."""
    return season_and_book(raw, book)[0]


def season_and_book(raw: object, book: Rulebook) -> tuple[Season, Rulebook]:
    """Return the season and the rulebook with its own rules, or raise Refused with every fault.

    `book` is the rulebook as shipped; the season's own `rules` are checked and applied here.
    """
    faults = Faults()
    plain = faults.group(raw, "", (*SEASON_FIELDS, "changes"))
    if not isinstance(raw, Mapping):
        faults.refuse_if_any()
    base = {name: value for name, value in plain.items() if name != "changes"}
    try:
        season, own = _whole(base, book, Faults())
    except Refused as refused:
        known = refused.faults
        faults.found.extend(known)
        check_changes(plain, CHANGEABLE_FIELDS, known, book, _as_of, faults)
        faults.refuse_if_any()
        raise
    changes = check_changes(plain, CHANGEABLE_FIELDS, (), book, _as_of, faults)
    faults.refuse_if_any()
    return replace(season, changes=changes), own


def _as_of(raw: Mapping[str, Any], book: Rulebook, day: str | None) -> tuple[Season, Rulebook]:
    return _whole(raw, book, Faults(), day)


def _whole(plain: Mapping[str, Any], book: Rulebook, faults: Faults, day: str | None = None) -> tuple[Season, Rulebook]:
    """Return a season without changes and the rulebook with its own rules, or raise Refused with every fault.

    `day` is that of the change which made it so, None for the season as it begins.
    """
    own = _own_book(plain, book, faults)
    days = _days(plain, own, faults)
    site = _site(plain.get("site"), own, faults)
    edition = faults.number(plain.get("book", own.edition), "book", 1, own.edition, whole=True)
    levels = check_levels(plain.get("disciplines"), day or days["first_day"], own, faults, edition)
    diver = check_diver(plain.get("diver"), own, faults)
    _check_room(site, own, faults)
    blocks = check_blocks(plain, days, levels, own, faults)
    faults.refuse_if_any()
    return Season(**days, blocks=blocks, site=site, levels=levels, diver=diver, edition=edition), own


def book_of(raw: Mapping[str, Any], book: Rulebook) -> Rulebook:
    """Return the rulebook with the season's own rules; raises Refused when they are out of bounds."""
    rules = raw.get("rules")
    return book.with_rules({} if rules is None else rules)


def _own_book(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> Rulebook:
    try:
        return book_of(plain, book)
    except Refused as refused:
        faults.found.extend(refused.faults)
        return book


def _days(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    days: dict[str, Any] = {name: check_day(plain.get(name), name, book, faults) for name in ("first_day", "last_day")}
    if days["first_day"] and days["last_day"]:
        length = (date.fromisoformat(days["last_day"]) - date.fromisoformat(days["first_day"])).days + 1
        most = book.limit("season_days")[1]
        if length < 1:
            faults.add("last_day", "is before the first day")
        elif length > most:
            faults.add("last_day", f"makes a season of {length} days; the most is {most}")
    closed = [] if plain.get("closed_days") is None else plain["closed_days"]
    if not isinstance(closed, list) or len(closed) > book.limit("closed_days")[1]:
        faults.add("closed_days", f"must be a list of at most {book.limit('closed_days')[1]} dates")
        closed = []
    for index, day in enumerate(closed):
        if not is_day(day):
            faults.add(f"closed_days[{index}]", f"{str(day)[:20]!r} must be a date as YYYY-MM-DD")
    days["closed_days"] = frozenset(day for day in closed if is_day(day))
    return days


def _site(raw: object, book: Rulebook, faults: Faults) -> Any:
    plain = faults.group({} if raw is None else raw, "site", SITE_FIELDS)
    given = {name: value for name, value in plain.items() if value is not None}
    numbers = {
        name: faults.number(given.get(name, book.value(f"site.{name}")), f"site.{name}", *book.limit(name))
        for name in ("latitude", "temperature_c", "altitude_m")
    }
    _check_record(given.get("record"), faults)
    return Site(
        name=faults.text(given.get("name"), "site.name", book.limit("text")[1]),
        bottom_m=faults.number(given.get("bottom_m"), "site.bottom_m", *book.limit("bottom_m")),
        water=faults.choice(given.get("water", WATERS[0]), "site.water", WATERS),
        salinity=faults.optional(given.get("salinity"), "site.salinity", *book.limit("salinity")),
        **numbers,
    )


def _check_record(value: object, faults: Faults) -> None:
    """Check the id of the site's own record; it is no part of the plan, which keeps the numbers it was made with."""
    if value is not None and not (isinstance(value, str) and UUID.fullmatch(value)):
        faults.add("site.record", "must be the id of a site")


def _check_room(site: Site, book: Rulebook, faults: Faults) -> None:
    """Note a bottom so shallow that not even the first rung fits above it, and a line longer than the ladder allows."""
    least_m = book.value("ladder.lowest_m") + book.value("ladder.above_bottom_m")
    if site.bottom_m is not None and site.bottom_m < least_m:
        faults.add("site.bottom_m", f"is too shallow for a ladder: at least {show(least_m)} m are needed")
    if book.value("card.line_below_m") >= book.value("ladder.above_bottom_m"):
        faults.add("rules.card.line_below_m", "must be less than the distance that the ladder keeps above the bottom")
