"""What all tests share: one browser for the run, and the same examples in each run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, expect
from support.boat import MORNING, PHONE, BoatPhone, Server
from support.browsers import running_browser
from support.templates import compile_once

from webapp.cli import demo
from webapp.web.app import create_app

settings.register_profile(
    "lineslate",
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("lineslate")
compile_once()
expect.set_options(timeout=20_000)  # milliseconds; only a slow machine ever takes them


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for the whole run; each test opens its own contexts."""
    with running_browser() as browser:
        yield browser


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's data as of a known morning, and its key; made once, copied for each test.

    Its site has no emergency plan yet.
    """
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    demo.make_if_missing(create_app({"DATA_FILE": str(path), "NOW": lambda: MORNING}), MORNING, plan={})
    return path


@pytest.fixture(scope="session")
def signed_in(chromium: Browser, demo_file: Path) -> list[Any]:
    """The cookies of one sign-in, which every later copy of the data knows."""
    server = Server(demo_file)
    context = chromium.new_context(**PHONE, service_workers="block")
    BoatPhone(context, server).fill_in_sign_in("/account/")
    cookies = [cookie for cookie in context.cookies() if cookie["name"] == "lineslate"]  # not the messages
    context.close()
    server.close()
    return cookies
