"""One file for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp import store


@pytest.fixture
def file(tmp_path: Path) -> Iterator[Path]:
    """A new data file, open."""
    path = tmp_path / "data" / "lineslate.sqlite3"
    store.open_store(path)
    yield path
    store.close()
