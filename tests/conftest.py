"""What all tests share: one browser for the run, and the same examples in each run."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, expect
from support.browsers import running_browser

settings.register_profile(
    "lineslate",
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("lineslate")
expect.set_options(timeout=20_000)  # milliseconds; only a slow machine ever takes them


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the whole run; each test opens its own contexts."""
    with running_browser() as browser:
        yield browser
