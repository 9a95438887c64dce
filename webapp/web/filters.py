"""How values are written on shore pages: dates, times, numbers, starts of sentences."""

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from itertools import groupby
from typing import Any

from flask import Flask

from webapp.records.labels import PARTS, ROLES


def day(text: str) -> str:
    """Return an ISO date as "Mon 3 May 2027"."""
    try:
        when = date.fromisoformat(text)
    except (TypeError, ValueError):
        return str(text or "")
    return f"{when:%a} {when.day} {when:%b %Y}"


def moment(when: datetime | str) -> str:
    """Return a moment as "Mon 3 May 2027, 14:05 UTC"; the page's script turns it into local time."""
    if isinstance(when, str):
        when = datetime.fromisoformat(when.replace("Z", "+00:00"))
    aware = when.astimezone(UTC) if when.tzinfo else when.replace(tzinfo=UTC)
    return f"{day(aware.date().isoformat())}, {aware:%H:%M} UTC"


def device_moment(text: str) -> str:
    """Return a device's moment by its own clock: "Mon 3 May 2027, 14:05 UTC+02:00"; any other text as it is."""
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return text
    return f"{day(when.date().isoformat())}, {when:%H:%M} {when.tzname() or ''}".strip()


def minutes(seconds: float) -> str:
    """Return seconds as a dive time: 2:05."""
    whole = max(0, round(seconds))
    return f"{whole // 60}:{whole % 60:02}"


def plain(value: Any) -> str:
    """Return a number without needless zeros: 40, 72.5; nothing is a dash."""
    if value is None:
        return "–"
    return f"{value:g}" if isinstance(value, float) else str(value)


def degrees(value: float) -> str:
    """Return degrees with all their digits: a position that is rounded is another place."""
    return f"{value:.6f}".rstrip("0").rstrip(".") + "°"


def dialled(number: str) -> str:
    """Return what a phone dials: digits, with the + of a country; the "(0)" after it is dialled at home only."""
    abroad = "+" if number.strip().startswith("+") else ""
    return abroad + re.sub(r"[^0-9]", "", number.replace("(0)", "", 1) if abroad else number)


def degrees_minutes(value: float, letters: str) -> str:
    """Return degrees and decimal minutes with their letter: 43° 12.345′ N; rounded as a whole."""
    thousandths = round(abs(value) * 60_000)
    whole, left = divmod(thousandths, 60_000)
    return f"{whole}° {left / 1000:06.3f}′ {letters[value < 0 and thousandths > 0]}"


def begin(text: str | None) -> str:
    """Return the sentence with a capital first letter and no full stop."""
    whole = (text or "").strip().rstrip(".")
    return whole[:1].upper() + whole[1:]


def short_day(text: str) -> str:
    """Return an ISO date as "Mon 3 May", without the year."""
    return day(text).rsplit(" ", 1)[0]


def alike(dives: Iterable[Mapping[str, Any]], *names: str) -> list[tuple[int, Mapping[str, Any]]]:
    """Return dives that follow each other and are alike in these fields as (how many, the first of them)."""
    groups = (list(group) for _, group in groupby(dives, key=lambda dive: [dive.get(name) for name in names]))
    return [(len(group), group[0]) for group in groups]


def role(code: str) -> str:
    """Return the words for a dive's role."""
    return ROLES.get(code, code)


def parts(group: Mapping[str, Any]) -> str:
    """Return the words for the parts of a season that a change sets."""
    return ", ".join(PARTS.get(name, name) for name in group)


def init_app(app: Flask) -> None:
    """Give the filters to the templates."""
    times, places = (day, short_day, moment, device_moment, minutes), (dialled, degrees_minutes, degrees)
    for template_filter in (*times, *places, alike, plain, begin, role, parts):
        app.add_template_filter(template_filter)
