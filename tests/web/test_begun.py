"""The beginnings that tests copy are those that a person makes, and no copy knows of another."""

import re
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from webapp.web.app import create_app

# another in each file: ids, tokens, hashes
RANDOM = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}|[0-9a-f]{32,}|scrypt:\S+")
EPOCH = "SELECT value FROM meta WHERE name = 'epoch'"


def rows(file: Path, sql: str | None = None) -> list[Any]:
    """All rows of the file with what is random left out, or what one question finds."""
    with closing(sqlite3.connect(file)) as connection:
        if sql:
            return connection.execute(sql).fetchall()
        return [RANDOM.sub("…", line) for line in connection.iterdump()]


@pytest.mark.parametrize("name", ["app", "diver", "planner_of_may"])
def test_what_is_copied_is_what_a_person_makes(
    name: str, begun: Any, settings: Any, person: Any, tmp_path: Path
) -> None:
    by_hand, copy = tmp_path / "by hand.sqlite3", tmp_path / "copy.sqlite3"
    made = person(create_app({**settings, "DATA_FILE": str(by_hand)}))
    if name != "app":
        made.sign_up(follow=False)
    if name == "planner_of_may":
        made.set_up()
    begun[name].copy_to(copy)
    assert rows(copy) == rows(by_hand)


def test_whoever_made_it_is_signed_in_and_nobody_else(planner_of_may: Any, stranger: Any) -> None:
    assert "May at Holm" in planner_of_may.get("/seasons/").words
    assert stranger.get("/seasons/").status == 302


def test_each_copy_has_an_epoch_of_its_own(begun: Any, tmp_path: Path) -> None:
    """The app keeps logs in memory by it: one test would read the log of another."""
    copies = [tmp_path / "one.sqlite3", tmp_path / "two.sqlite3"]
    for copy in copies:
        begun["diver"].copy_to(copy)
    assert len({rows(copy, EPOCH)[0] for copy in copies}) == 2
