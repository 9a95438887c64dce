"""The one place that asks the time; everything else gets it as an argument."""

from datetime import UTC, datetime


def now() -> datetime:
    """Return the time now, aware, in UTC."""
    return datetime.now(UTC)
