"""Open files for other programs: tables as CSV (RFC 4180) and days as a calendar (RFC 5545). Pure."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

# A table program takes a cell that begins so for a formula, and a formula can send the table away.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
LINE_OCTETS = 75
KINDS = {"deep": "Deep day", "easy": "Easy day"}


def table(names: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> str:
    """Return a CSV with a head line; a text that a table program would take for a formula gets an apostrophe first."""
    lines = [names, *([_plain(row.get(name)) for name in names] for row in rows)]
    return "".join(",".join(_cell(text) for text in line) + "\r\n" for line in lines)


def calendar(plan: Mapping[str, Any], season: str, season_id: int, made_at: str, cautions: Sequence[str]) -> str:
    """Return the dive days of a plan as whole-day events; nothing of why a day is easy or closed goes into it."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Lineslate//Plan//EN", f"X-WR-CALNAME:{_escaped(season)}"]
    for day in plan["days"]:
        if day["kind"] in KINDS and day["dives"]:
            lines += _event(day, season_id, made_at, cautions)
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _event(day: Mapping[str, Any], season_id: int, made_at: str, cautions: Sequence[str]) -> list[str]:
    starts = date.fromisoformat(day["date"])
    said = "\n".join([*_dives(day["dives"]), *cautions])
    deep = next((dive for dive in day["dives"] if dive["role"] == "deep"), None)
    head = KINDS[day["kind"]] + (f": {deep['discipline']} {deep['target_m']:g} m" if deep else "")
    return [
        "BEGIN:VEVENT",
        f"UID:{day['date']}-season-{season_id}@lineslate",
        f"DTSTAMP:{made_at.replace('-', '').replace(':', '')}",
        f"DTSTART;VALUE=DATE:{starts:%Y%m%d}",
        f"DTEND;VALUE=DATE:{starts + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{_escaped(head)}",
        f"DESCRIPTION:{_escaped(said)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _dives(dives: Iterable[Mapping[str, Any]]) -> list[str]:
    return [f"{dive['discipline']} {dive['target_m']:g} m, {dive['role']}" for dive in dives]


def _plain(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        value = " ".join(value)
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA) else str(value)


def _cell(text: str) -> str:
    """Quote a cell that needs it, doubling the quotes in it."""
    return '"' + text.replace('"', '""') + '"' if any(mark in text for mark in ',"\r\n') else text


def _escaped(text: str) -> str:
    """Return a text as a calendar writes it; other control characters are no part of its texts."""
    for mark in ("\\", ";", ","):
        text = text.replace(mark, f"\\{mark}")
    lines = "\\n".join(text.splitlines())
    return "".join(letter for letter in lines if letter.isprintable())


def _folded(line: str) -> str:
    """Break a line after 75 octets, never inside a letter; what goes on begins with a blank."""
    parts, part = [], ""
    for letter in line:
        if len((part + letter).encode()) > LINE_OCTETS:
            parts.append(part)
            part = " "
        part += letter
    return "\r\n".join([*parts, part])
