"""A data file with one diver in it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from support.phones import NOW, Phone

from webapp import store
from webapp.actions import sync
from webapp.store import users
from webapp.store.values import User

Send = Callable[..., dict[str, Any]]


@pytest.fixture
def file(tmp_path: Path) -> Iterator[Path]:
    """A new data file, open."""
    path = tmp_path / "lineslate.sqlite3"
    store.open_store(path)
    yield path
    store.close()


@pytest.fixture
def runa(file: Path) -> User:
    """A diver with an account; their password is nobody's."""
    with store.transaction():
        return users.add_user("Runa", "runa", "none", "2031-04-01T08:00:00Z")


@pytest.fixture
def send(runa: User) -> Send:
    """Let a phone of the diver's sync once, and take the answer in."""

    def once(phone: Phone, **changes: Any) -> dict[str, Any]:
        answer = sync.sync(runa.id, phone.request(**changes), NOW)
        phone.take(answer)
        return answer

    return once
