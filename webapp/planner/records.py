"""The one strict check that both doors, forms and sync, go through: all faults at once, in plain words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import Any

from ..rulebook.checks import Faults, is_day, show
from ..rulebook.dates import check_day
from ..rulebook.faults import Refused
from ..rulebook.rulebook import Rulebook
from .levels import check_levels
from .model import DISCIPLINES, ROLES, Drill, Level, Season, Site
from .personal import check_diver

WATERS = ("salt", "fresh")
SEASON_FIELDS = (
    "first_day", "last_day", "days_on", "days_off", "block_days", "break_days", "closed_days",
    "site", "disciplines", "lead", "drill", "diver", "rules",
)  # fmt: skip
SITE_FIELDS = ("name", "bottom_m", "water", "latitude", "temperature_c", "altitude_m", "salinity")
DIVE_FIELDS = (
    "date", "at", "surfaced_at", "discipline", "role", "target_m", "reached_m", "dive_s", "effort",
    "signs", "note",
)  # fmt: skip
CLEARANCE_FIELDS = ("clearance", "by")


def check_season(raw: object, book: Rulebook) -> Season:
    """Return the season, or raise Refused with every fault and the field it belongs to.

    `book` is the rulebook as shipped; the season's own `rules` are checked and used here.
    """
    faults = Faults()
    plain = faults.group(raw, "", SEASON_FIELDS)
    if not isinstance(raw, Mapping):
        faults.refuse_if_any()
    book = _own_book(plain, book, faults)
    days = _days(plain, book, faults)
    site = _site(plain.get("site"), book, faults)
    levels = check_levels(plain.get("disciplines"), days["first_day"], book, faults)
    lead = _lead(plain.get("lead"), levels, faults)
    drill = _drill(plain.get("drill"), book, faults)
    diver = check_diver(plain.get("diver"), book, faults)
    _check_room(site, book, faults)
    faults.refuse_if_any()
    return Season(**days, site=site, levels=levels, lead=lead, drill=drill, diver=diver)


def book_of(raw: Mapping[str, Any], book: Rulebook) -> Rulebook:
    """Return the rulebook with the season's own rules; raises Refused when they are out of bounds."""
    rules = raw.get("rules")
    return book.with_rules({} if rules is None else rules)


def check_dive(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return one logged dive as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", DIVE_FIELDS)
    dive = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "at": faults.clock(plain.get("at"), "at"),
        "surfaced_at": faults.instant(plain.get("surfaced_at"), "surfaced_at"),
        "discipline": faults.choice(plain.get("discipline"), "discipline", DISCIPLINES),
        "role": faults.choice(plain.get("role"), "role", ROLES),
        "target_m": faults.optional(plain.get("target_m"), "target_m", *book.limit("depth_m")),
        "reached_m": faults.number(plain.get("reached_m"), "reached_m", *book.limit("depth_m")),
        "dive_s": faults.optional(plain.get("dive_s"), "dive_s", *book.limit("dive_s"), whole=True),
        "effort": faults.optional(plain.get("effort"), "effort", *book.limit("effort"), whole=True),
        "signs": _signs(plain.get("signs"), book, faults),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
    }
    faults.refuse_if_any()
    return dive


def check_clearance(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a doctor's clearance as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", CLEARANCE_FIELDS)
    clearance = {
        "clearance": check_day(plain.get("clearance"), "clearance", book, faults),
        "by": faults.text(plain.get("by"), "by", book.limit("text")[1]),
    }
    if clearance["by"] is not None and not clearance["by"].strip():
        faults.add("by", "is missing: who cleared it")
    faults.refuse_if_any()
    return clearance


def check_log(raw: object, book: Rulebook) -> list[dict[str, Any]]:
    """Return a whole log, each record with its id, or raise Refused with every fault of every record."""
    faults = Faults()
    if not isinstance(raw, list) or len(raw) > book.limit("log")[1]:
        faults.add("", f"has to be a list of at most {book.limit('log')[1]} records")
        faults.refuse_if_any()
    records: list[object] = raw if isinstance(raw, list) else []
    checked = [_record(record, at, book, faults) for at, record in enumerate(records)]
    times = Counter(record["id"] for record in checked if "id" in record)
    for twice in sorted(name for name, count in times.items() if count > 1):
        faults.add("id", f"{twice!r} is used by more than one record")
    faults.refuse_if_any()
    return checked


def _record(record: object, at: int, book: Rulebook, faults: Faults) -> dict[str, Any]:
    if not isinstance(record, Mapping):
        faults.add(f"[{at}]", "has to be a group of fields")
        return {}
    plain = dict(record)
    name = plain.pop("id", None)
    clearing = "clearance" in plain
    if not clearing and (not isinstance(name, str) or not name or len(name) > book.limit("text")[1]):
        faults.add(f"[{at}].id", "is missing: the record's own name")
    try:
        checked = (check_clearance if clearing else check_dive)(plain, book)
    except Refused as refused:
        for fault in refused.faults:
            faults.add(f"[{at}].{fault.field}", fault.says)
        return {}
    return {"id": name, **checked} if isinstance(name, str) else checked


def _signs(raw: object, book: Rulebook, faults: Faults) -> list[str]:
    """Return the signs in the rulebook's order, each once: the order of tapping means nothing."""
    if raw is None:
        return []
    if not isinstance(raw, list):
        faults.add("signs", "has to be a list of signs")
        return []
    known = book.texts["sign"]
    for sign in raw:
        if not isinstance(sign, str) or sign not in known:
            faults.add("signs", f"{sign!r} is not a known sign")
    return [sign for sign in known if sign in raw]


def _own_book(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> Rulebook:
    try:
        return book_of(plain, book)
    except Refused as refused:
        faults.found.extend(refused.faults)
        return book


def _days(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    days: dict[str, Any] = {name: check_day(plain.get(name), name, book, faults) for name in ("first_day", "last_day")}
    for name in ("days_on", "days_off", "block_days", "break_days"):
        days[name] = faults.number(plain.get(name), name, *book.limit(name), whole=True)
    if days["first_day"] and days["last_day"]:
        length = (date.fromisoformat(days["last_day"]) - date.fromisoformat(days["first_day"])).days + 1
        most = book.limit("season_days")[1]
        if length < 1:
            faults.add("last_day", "is before the first day")
        elif length > most:
            faults.add("last_day", f"makes a season of {length} days; it has at most {most}")
    closed = [] if plain.get("closed_days") is None else plain["closed_days"]
    if not isinstance(closed, list) or len(closed) > book.limit("closed_days")[1]:
        faults.add("closed_days", f"has to be a list of at most {book.limit('closed_days')[1]} dates")
        closed = []
    for at, day in enumerate(closed):
        if not is_day(day):
            faults.add(f"closed_days[{at}]", f"{str(day)[:20]!r} has to be a date as YYYY-MM-DD")
    days["closed_days"] = frozenset(day for day in closed if is_day(day))
    return days


def _site(raw: object, book: Rulebook, faults: Faults) -> Any:
    plain = faults.group({} if raw is None else raw, "site", SITE_FIELDS)
    given = {name: value for name, value in plain.items() if value is not None}
    numbers = {
        name: faults.number(given.get(name, book.value(f"site.{name}")), f"site.{name}", *book.limit(name))
        for name in ("latitude", "temperature_c", "altitude_m")
    }
    return Site(
        name=faults.text(given.get("name"), "site.name", book.limit("text")[1]),
        bottom_m=faults.number(given.get("bottom_m"), "site.bottom_m", *book.limit("bottom_m")),
        water=faults.choice(given.get("water", "salt"), "site.water", WATERS),
        salinity=faults.optional(given.get("salinity"), "site.salinity", *book.limit("salinity")),
        **numbers,
    )


def _check_room(site: Site, book: Rulebook, faults: Faults) -> None:
    """The lowest rung has to fit above the bottom, or there is no ladder at all."""
    least_m = book.value("ladder.lowest_m") + book.value("ladder.above_bottom_m")
    if site.bottom_m is not None and site.bottom_m < least_m:
        faults.add("site.bottom_m", f"leaves no room for a ladder: at least {show(least_m)} m")
    if book.value("card.line_below_m") >= book.value("ladder.above_bottom_m"):
        faults.add("rules.card.line_below_m", "has to be less than what the ladder keeps above the bottom")


def _lead(raw: object, levels: tuple[Level, ...], faults: Faults) -> tuple[str, ...]:
    names = [level.discipline for level in levels if level.discipline]
    if not isinstance(raw, list) or not raw:
        faults.add("lead", "is missing: which discipline leads each block, at least the first")
        return ()
    if names:
        for at, name in enumerate(raw):
            faults.choice(name, f"lead[{at}]", names)
    return tuple(name for name in raw if isinstance(name, str))


def _drill(raw: object, book: Rulebook, faults: Faults) -> Any:
    if raw is None:
        return None
    plain = faults.group(raw, "drill", ("discipline", "depth_m", "dives"))
    return Drill(
        discipline=faults.choice(plain.get("discipline"), "drill.discipline", DISCIPLINES),
        depth_m=faults.number(plain.get("depth_m"), "drill.depth_m", *book.limit("depth_m")),
        dives=faults.number(plain.get("dives"), "drill.dives", *book.limit("drill_dives"), whole=True),
    )
