"""Days as a calendar (RFC 5545)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

LINE_OCTETS = 75
KINDS = {"deep": "Deep day", "easy": "Easy day"}


def calendar(plan: Mapping[str, Any], season: str, season_id: int, made_at: str, cautions: Sequence[str]) -> str:
    """Return the dive days of a plan as whole-day events; the reasons for easy or closed days are left out."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Lineslate//Plan//EN", f"X-WR-CALNAME:{_escaped(season)}"]
    for day in plan["days"]:
        dives = [dive for dive in day["dives"] if not day.get("over") or dive["done"]]
        if day["kind"] in KINDS and dives:
            lines += _event({**day, "dives": dives}, season_id, made_at, cautions)
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _event(day: Mapping[str, Any], season_id: int, made_at: str, cautions: Sequence[str]) -> list[str]:
    starts = date.fromisoformat(day["date"])
    description = "\n".join([*_dives(day["dives"]), *cautions])
    deep = next((dive for dive in day["dives"] if dive["role"] == "deep"), None)
    head = KINDS[day["kind"]] + (f": {deep['discipline']} {deep['target_m']:g} m" if deep else "")
    return [
        "BEGIN:VEVENT",
        f"UID:{day['date']}-season-{season_id}@lineslate",
        f"DTSTAMP:{made_at.replace('-', '').replace(':', '')}",
        f"DTSTART;VALUE=DATE:{starts:%Y%m%d}",
        f"DTEND;VALUE=DATE:{starts + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{_escaped(head)}",
        f"DESCRIPTION:{_escaped(description)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _dives(dives: Iterable[Mapping[str, Any]]) -> list[str]:
    return [f"{dive['discipline']} {dive['target_m']:g} m, {dive['role']}{_meaning(dive)}" for dive in dives]


def _meaning(dive: Mapping[str, Any]) -> str:
    """Return what a drill is for, and what a target means: a new best, a goal."""
    said = [dive[name] for name in ("focus", "best_says", "reaches") if dive.get(name)]
    return f": {', '.join(said)}" if said else ""


def _escaped(text: str) -> str:
    """Return text escaped for a calendar; control characters other than line breaks are left out."""
    for mark in ("\\", ";", ","):
        text = text.replace(mark, f"\\{mark}")
    lines = "\\n".join(text.splitlines())
    return "".join(letter for letter in lines if letter.isprintable())


def _folded(line: str) -> str:
    """Break a line after 75 octets, never inside a character; each continuation begins with a space."""
    parts, part = [], ""
    for letter in line:
        if len((part + letter).encode()) > LINE_OCTETS:
            parts.append(part)
            part = " "
        part += letter
    return "\r\n".join([*parts, part])
