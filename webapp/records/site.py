"""The strict check of a dive site: where it is, its water, and the emergency plan that is filled in once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.rulebook import Rulebook
from .written import WATERS

WATER_FIELDS = {
    "bottom_m": "Depth of the bottom",
    "water": "Water",
    "temperature_c": "Water temperature",
    "altitude_m": "Altitude of the surface",
    "salinity": "Salinity",
}
PHONES = {
    "emergency_phone": "Local emergency number",
    "hospital_phone": "Phone of the hospital",
    "chamber_phone": "Phone of the chamber",
}
PLAN_TEXTS = {
    "radio_channel": "Radio channel",
    "hospital": "Nearest hospital",
    "chamber": "Nearest recompression chamber",
    "oxygen_where": "Where the oxygen is",
    "oxygen_by": "Who may give oxygen",
    "boat_driver": "Who drives the boat",
    "meeting_point": "Meeting point",
    "language": "Language spoken there",
}
POSITION = {"latitude": "Latitude", "longitude": "Longitude"}
SITE_FIELDS = {"name": "Name of the site", **POSITION, **WATER_FIELDS, **PHONES, **PLAN_TEXTS, "note": "Note"}
POSITION_DIGITS = 6  # of a degree: about a tenth of a metre
_PHONE = re.compile(r"\+?[0-9\s().-]+")
_LEAST_DIGITS = 2  # some countries call for help with two


def check_site(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return the fields of a site that were given (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", SITE_FIELDS)
    site = {"name": _name(plain.get("name"), book, faults)}
    for name in POSITION:
        if name in plain:
            site[name] = _degrees(plain[name], name, book, faults)
    site |= _water(plain, book, faults)
    for name in PHONES:
        if name in plain:
            site[name] = _phone(plain[name], name, book, faults)
    for name in (*PLAN_TEXTS, "note"):
        if name in plain:
            site[name] = faults.text(plain[name], name, book.limit("note" if name == "note" else "text")[1])
    faults.refuse_if_any()
    return site


def _name(value: object, book: Rulebook, faults: Faults) -> Any:
    name = faults.text(value, "name", book.limit("text")[1])
    if name is not None and not name.strip():
        faults.add("name", "is missing")
    return name


def _degrees(value: object, field: str, book: Rulebook, faults: Faults) -> Any:
    """Return degrees with more digits than other numbers have: two decimals would be a kilometre."""
    checked = faults.optional(value, field, *book.limit(field))
    return None if checked is None else round(value, POSITION_DIGITS)  # type: ignore[call-overload]


def _water(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name in WATER_FIELDS:
        if name not in plain:
            continue
        if name == "water":
            found[name] = None if plain[name] is None else faults.choice(plain[name], name, WATERS)
        else:
            found[name] = faults.optional(plain[name], name, *book.limit(name))
    return found


def _phone(value: object, field: str, book: Rulebook, faults: Faults) -> Any:
    """Return one phone number as typed: a phone dials what stands here, so two in one field would be a wrong one."""
    number = faults.text(value, field, book.limit("text")[1])
    if number and not (_PHONE.fullmatch(number) and sum(map(str.isdigit, number)) >= _LEAST_DIGITS):
        faults.add(field, "must be one phone number: digits and spaces, with a + before the country's own")
    return number
