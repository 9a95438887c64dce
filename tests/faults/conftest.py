"""What the fault suite shares: a server on a copy of the demo's data, a network that fails, phones behind it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from support.boat import MORNING, PHONE, BoatPhone, copied
from support.chaos import Chaos
from support.faulty import FaultyServer, NewPhone


@pytest.fixture
def server(demo_file: Path, signed_in: list[Any], tmp_path: Path) -> Iterator[FaultyServer]:
    """A server of each test's own."""
    running = FaultyServer(copied(demo_file, tmp_path), files_stay=True)
    yield running
    running.stop()


@pytest.fixture
def chaos(server: FaultyServer) -> Iterator[Chaos]:
    """The network between the phones of this test and the server."""
    between = Chaos(server.port)
    yield between
    between.close()


@pytest.fixture
def new_phone(chromium: Browser, chaos: Chaos, signed_in: list[Any]) -> Iterator[NewPhone]:
    """Make signed-in phones behind the bad network, without a worker unless one is asked for."""
    contexts: list[BrowserContext] = []

    def make(
        path: str = "/boat/log", before: Callable[[Page], object] = lambda page: None, **options: Any
    ) -> BoatPhone:
        context = chromium.new_context(**{**PHONE, "service_workers": "block", **options})
        context.clock.install(time=MORNING)
        context.add_cookies(signed_in)
        contexts.append(context)
        phone = BoatPhone(context, chaos)  # type: ignore[arg-type]
        before(phone.page)
        phone.open(path)
        phone.says("Last sent")
        return phone

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def phone(new_phone: NewPhone) -> BoatPhone:
    """A signed-in phone on its log."""
    return new_phone()
