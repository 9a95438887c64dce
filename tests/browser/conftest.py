"""What the browser tests share: a server on a copy of the demo's data, and phones."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext
from support.boat import MORNING, PHONE, ROOT, BoatPhone, Server, copied


@pytest.fixture
def root() -> Path:
    """The tree that the server runs from."""
    return ROOT


@pytest.fixture
def server(
    demo_file: Path, signed_in: list[Any], tmp_path: Path, root: Path, request: pytest.FixtureRequest
) -> Iterator[Server]:
    """A server of each test's own."""
    updates = request.node.get_closest_marker("keeps_app") or root != ROOT
    running = Server(copied(demo_file, tmp_path), root, files_stay=not updates)
    yield running
    running.stop()


@pytest.fixture
def new_phone(chromium: Browser, server: Server) -> Iterator[Callable[..., BoatPhone]]:
    """Make phones; all are closed at the end."""
    contexts: list[BrowserContext] = []

    def make(**options: Any) -> BoatPhone:
        context = chromium.new_context(**{**PHONE, **options})
        context.clock.install(time=MORNING)
        contexts.append(context)
        return BoatPhone(context, server, keeps_app=options.get("service_workers") != "block")

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def signed_in_phone(new_phone: Callable[..., BoatPhone], signed_in: list[Any]) -> Callable[..., BoatPhone]:
    """Make phones, each after one signed-in visit."""

    def make(**options: Any) -> BoatPhone:
        phone = new_phone(**options)
        phone.visit(signed_in)
        return phone

    return make


@pytest.fixture
def phone(signed_in_phone: Callable[..., BoatPhone], request: pytest.FixtureRequest) -> BoatPhone:
    """A phone after one signed-in visit; it keeps the app only where the test is marked so: that takes a while."""
    keeps = request.node.get_closest_marker("keeps_app")
    return signed_in_phone(service_workers="allow" if keeps else "block")
