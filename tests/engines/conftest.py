"""What the tests in other engines share: which are asked for, a server as of now, a phone in the diver's hand."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from engines.firefox import firefox
from engines.phone import EnginePhone
from engines.webkit import webkit
from support.boat import Server

from webapp.cli import demo
from webapp.web.app import create_app

ENGINES: dict[str, Any] = {"webkit": webkit, "firefox": firefox}
FLAG = "LINESLATE_TEST_ENGINES"
OpenPhone = Callable[[], AbstractContextManager[EnginePhone]]


def asked_for() -> list[str]:
    """The engines that the environment asks for; one that nobody knows is an error, or it would never be missed."""
    names = [name for name in os.environ.get(FLAG, "").split(",") if name]
    assert set(names) <= set(ENGINES), f"{FLAG}={os.environ[FLAG]}, but the engines are {','.join(ENGINES)}"
    return names


@pytest.fixture(params=ENGINES)
def engine(request: pytest.FixtureRequest) -> str:
    """The name of an engine; without the flag the test is skipped, with the flag a missing browser fails it."""
    name = str(request.param)
    if name not in asked_for():
        # Skipped even where the browsers are installed: the README's test command promises to need one Chromium only,
        # and a WebKit or Firefox of another version than CI's may lack its driver. .ci/run always asks for both.
        pytest.skip(f"the README's command needs one Chromium only: for this, set {FLAG}={','.join(ENGINES)}")
    return name


@pytest.fixture
def moment(engine: str) -> datetime:
    """Now: these browsers have no other clock."""
    return datetime.now(UTC)


@pytest.fixture
def server(tmp_path: Path, moment: datetime) -> Iterator[Server]:
    """A server with the demo's data as of now."""
    data = tmp_path / "data.sqlite3"
    app = create_app({"DATA_FILE": str(data), "SECRET_KEY": "for tests only", "NOW": lambda: moment})
    demo.make_if_missing(app, moment)
    running = Server(data, moment=moment)
    yield running
    running.stop()


@pytest.fixture
def open_phone(engine: str, server: Server, tmp_path: Path, moment: datetime) -> Iterator[OpenPhone]:
    """What opens the browser on the phone, to be closed and opened again."""
    with ENGINES[engine](tmp_path, noon_zone(moment)) as opened:

        @contextmanager
        def phone() -> Iterator[EnginePhone]:
            with opened() as browser:
                yield EnginePhone(browser, server)

        yield phone


def noon_zone(moment: datetime) -> str:
    """The zone where it is about noon of the same date, so that no day ends in the middle of a story."""
    return f"Etc/GMT{moment.hour - 12:+d}"  # these names count westwards: Etc/GMT-3 is three hours ahead
