"""What the browser tests share: the demo's data as of a known morning, a server on a copy of it, phones."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext
from support.boat import MORNING, PHONE, ROOT, BoatPhone, Server

from webapp.cli import demo
from webapp.web.app import create_app


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's data as of a known morning; made once, copied for each test."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    app = create_app({"DATA_FILE": str(path), "SECRET_KEY": "for tests only", "NOW": lambda: MORNING})
    demo.make_if_missing(app, MORNING)
    return path


@pytest.fixture
def root() -> Path:
    """The tree that the server runs from."""
    return ROOT


@pytest.fixture
def server(demo_file: Path, tmp_path: Path, root: Path) -> Iterator[Server]:
    data = tmp_path / "data.sqlite3"
    for part in demo_file.parent.glob(f"{demo_file.name}*"):  # the write-ahead log too, if there is one
        shutil.copy(part, tmp_path / part.name.replace(demo_file.name, data.name))
    running = Server(data, root)
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
        return BoatPhone(context, server)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def phone(new_phone: Callable[..., BoatPhone]) -> BoatPhone:
    """A phone after one signed-in visit."""
    made = new_phone()
    made.sign_in()
    return made
