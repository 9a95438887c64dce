"""The only place that reads the clock; everything else gets the time as an argument."""

from datetime import UTC, datetime


def now() -> datetime:
    """Return the time now, aware, in UTC."""
    return datetime.now(UTC)
