"""A long log holds nobody up: an exchange without news asks the same little of the file, however long the log is."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta

import pytest
from support.phones import DIVE, NOW, SEASON, Phone

from webapp.actions import seasons, sharing, sync
from webapp.store.sqlite.database import connect, database
from webapp.store.values import User


def reads_whole_log(statement: str) -> bool:
    return "FROM record" in statement and "AND NOT deleted" in statement


@contextmanager
def statements() -> Iterator[list[str]]:
    """Collect what is asked of the file."""
    connect()
    said: list[str] = []
    database.connection().set_trace_callback(said.append)
    yield said
    database.connection().set_trace_callback(None)


def logged(user: User, phone: Phone, dives: int) -> None:
    for at in range(dives):
        phone.put(fields={**DIVE, "date": (date(2031, 4, 1) - timedelta(days=at // 4)).isoformat()})
        if at % 100 == 99:
            phone.take(sync.sync(user.id, phone.request(), NOW))
    phone.take(sync.sync(user.id, phone.request(), NOW))


@pytest.fixture
def season(runa: User) -> None:
    seasons.save_season(runa.id, None, "Spring", SEASON, NOW)


@pytest.mark.usefixtures("season")
def test_an_exchange_without_news_writes_nothing_and_reads_no_log_at_any_length(runa: User) -> None:
    phone, asked = Phone(), list[list[str]]()
    for dives in (10, 900):
        logged(runa, phone, dives)
        with statements() as said:
            phone.take(sync.sync(runa.id, phone.request(), NOW))
        asked.append([one.split(" WHERE")[0] for one in said])
    assert asked[0] == asked[1]
    assert len(asked[0]) < 20
    assert not [one for one in said if one.startswith(("INSERT", "UPDATE", "DELETE", "BEGIN IMMEDIATE"))]
    assert not [one for one in said if reads_whole_log(one)]


@pytest.mark.usefixtures("season")
def test_nothing_is_planned_or_read_whole_while_others_wait_to_write(runa: User) -> None:
    phone = Phone()
    logged(runa, phone, 20)
    phone.put(fields=DIVE)
    with statements() as said:
        phone.take(sync.sync(runa.id, phone.request(), NOW))
    begun = next(at for at, one in enumerate(said) if one.startswith("BEGIN IMMEDIATE"))
    locked = said[begun : said.index("COMMIT", begun)]
    assert [one for one in locked if one.startswith("INSERT")]
    assert not [one for one in locked if reads_whole_log(one) or "FROM season" in one]


@pytest.mark.usefixtures("season")
def test_a_shared_list_is_planned_once_for_a_log_as_it_stands(runa: User) -> None:
    phone, link = Phone(), sharing.make_link(runa.id, "Ebba", NOW)
    logged(runa, phone, 20)
    first = sharing.shared_days(link, NOW)
    with statements() as said:
        assert sharing.shared_days(link, NOW) == first
    assert not [one for one in said if "FROM record" in one]
    logged(runa, phone, 1)
    assert sharing.shared_days(link, NOW) != first
