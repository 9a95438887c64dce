"""The only place that reads the clock; everything else gets the time as an argument."""

import time
from datetime import UTC, datetime


def now() -> datetime:
    """Return the time now, aware, in UTC."""
    return datetime.now(UTC)


def seconds() -> float:
    """Return the seconds of a clock that never goes back, for waits."""
    return time.monotonic()
