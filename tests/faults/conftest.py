"""What the fault suite shares: one server for each module with the demo's data, a failing network, phones."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from support.boat import MORNING, PHONE, BoatPhone
from support.chaos import Chaos
from support.faulty import FaultyServer, NewPhone

from webapp.cli import demo
from webapp.web.app import create_app


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's data as of a known morning."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    app = create_app({"DATA_FILE": str(path), "SECRET_KEY": "for tests only", "NOW": lambda: MORNING})
    demo.make_if_missing(app, MORNING)
    return path


@pytest.fixture(scope="module")
def server(demo_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[FaultyServer]:
    """One server for each module: each test looks at its own dives only."""
    folder = tmp_path_factory.mktemp("server")
    for part in demo_file.parent.glob(f"{demo_file.name}*"):
        shutil.copy(part, folder / part.name)
    running = FaultyServer(folder / demo_file.name)
    yield running
    running.stop()


@pytest.fixture(scope="module")
def signed_in(chromium: Browser, server: FaultyServer) -> Any:
    """The cookies of one sign-in."""
    context = chromium.new_context(**PHONE, service_workers="block")
    page = BoatPhone(context, server).open("/account/sign-in?next=/account/")
    page.get_by_label("Name").fill(demo.NAME)
    page.get_by_label("Password").fill(demo.PASSWORD)
    page.get_by_role("main").get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/account/")
    cookies = context.cookies()
    context.close()
    return cookies


@pytest.fixture
def chaos(server: FaultyServer) -> Iterator[Chaos]:
    """The network between the phones of this test and the server."""
    if server.wishes or server.process.poll() is not None:
        server.again()
    between = Chaos(server.port)
    yield between
    between.close()


@pytest.fixture
def new_phone(chromium: Browser, chaos: Chaos, signed_in: Any) -> Iterator[NewPhone]:
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
