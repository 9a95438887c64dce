"""What the fault suite shares: a server on a copy of the demo's data, a network that fails, phones behind it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from support.boat import MORNING, PHONE, BoatPhone, copied
from support.chaos import Chaos
from support.faulty import FaultyServer, NewPhone


@pytest.fixture(scope="module")
def same_server(
    demo_file: Path, signed_in: list[Any], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[FaultyServer]:
    """The server of those tests of a file that share one phone."""
    running = FaultyServer(copied(demo_file, tmp_path_factory.mktemp("server")), files_stay=True)
    yield running
    running.stop()


@pytest.fixture(scope="module")
def same_chaos(same_server: FaultyServer) -> Iterator[Chaos]:
    """The network between them."""
    between = Chaos(same_server.port)
    yield between
    between.close()


@pytest.fixture(scope="module")
def same_context(
    chromium: Browser, same_chaos: Chaos, signed_in: list[Any], request: pytest.FixtureRequest
) -> Iterator[BrowserContext]:
    """The one phone, which keeps what it knows from test to test."""
    with phones_behind(chromium, same_chaos, signed_in) as make:
        yield make(service_workers=workers(request)).context


def workers(request: pytest.FixtureRequest) -> str:
    """Whether the phones of this file keep the app with its worker."""
    return str(getattr(request.module, "SERVICE_WORKERS", "block"))


def shares(request: pytest.FixtureRequest) -> bool:
    """Whether this test is one of those that share a phone: a phone of its own took most of its time."""
    return request.node.get_closest_marker("same_phone") is not None


@pytest.fixture
def server(
    demo_file: Path, signed_in: list[Any], tmp_path: Path, request: pytest.FixtureRequest
) -> Iterator[FaultyServer]:
    """A server of each test's own, or the shared one."""
    if shares(request):
        yield request.getfixturevalue("same_server")
        return
    running = FaultyServer(copied(demo_file, tmp_path), files_stay=True)
    yield running
    running.stop()


@pytest.fixture
def chaos(request: pytest.FixtureRequest) -> Iterator[Chaos]:
    """The network between the phones of this test and the server."""
    if shares(request):
        between = request.getfixturevalue("same_chaos")
        between.seen.clear()
        yield between
        between.heal()
        return
    between = Chaos(request.getfixturevalue("server").port)
    yield between
    between.close()


def on_its_log(phone: BoatPhone, path: str = "/boat/log") -> BoatPhone:
    """Open the log, or another page, and wait until nothing is left to send."""
    phone.open(path)
    phone.says("Last sent")
    return phone


@contextmanager
def phones_behind(chromium: Browser, chaos: Chaos, cookies: list[Any]) -> Iterator[NewPhone]:
    """Make signed-in phones behind the bad network, without a worker unless one is asked for; all are closed."""
    contexts: list[BrowserContext] = []

    def make(
        path: str = "/boat/log", before: Callable[[Page], object] = lambda page: None, **options: Any
    ) -> BoatPhone:
        context = chromium.new_context(**{**PHONE, "service_workers": "block", **options})
        context.clock.install(time=MORNING)
        context.add_cookies(cookies)
        contexts.append(context)
        phone = BoatPhone(context, chaos)  # type: ignore[arg-type]
        before(phone.page)
        return on_its_log(phone, path)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def new_phone(chromium: Browser, chaos: Chaos, signed_in: list[Any]) -> Iterator[NewPhone]:
    """Make phones of this test's own."""
    with phones_behind(chromium, chaos, signed_in) as make:
        yield make


@pytest.fixture
def phone(chaos: Chaos, request: pytest.FixtureRequest) -> BoatPhone:
    """A signed-in phone on its log: a new one, or the shared one, which has sent everything and has one new page."""
    if not shares(request):
        made: BoatPhone = request.getfixturevalue("new_phone")(service_workers=workers(request))
        return made
    context: BrowserContext = request.getfixturevalue("same_context")
    context.set_offline(False)
    new = context.new_page()  # without the scripts that an earlier test has put into its page
    for page in context.pages:
        if page != new:
            page.close()
    phone = BoatPhone(context, chaos)  # type: ignore[arg-type]
    with new.expect_response("**/sync"):  # "Last sent" stands there at once, from an earlier page
        phone.open("/boat/log")
    new.evaluate("navigator.locks.request('sync', () => true)")  # what came with it is on the disk
    phone.says("Last sent")
    return phone
