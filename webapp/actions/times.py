"""Moments as the store keeps them."""

from datetime import UTC, datetime, timedelta


def stamp(now: datetime) -> str:
    """Return a moment as ISO text in UTC, `2030-06-01T08:00:00Z`; in this form earlier times sort before later ones."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def local_day(now: datetime, utc_offset_min: int) -> str:
    """Return the date on a clock that is so many minutes ahead of UTC."""
    return (now.astimezone(UTC) + timedelta(minutes=utc_offset_min)).date().isoformat()
