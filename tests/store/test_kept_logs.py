"""A log kept in memory is what the file holds: after any history, in any thread, whatever was rolled back."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.phones import DIVE, NOW, Phone

from webapp import store
from webapp.actions import sync
from webapp.store import meta, records, users
from webapp.store.kept_logs import KeptLogs

DEEDS = st.lists(
    st.tuples(st.sampled_from(["put", "delete", "look", "roll back", "epoch", "other"]), st.integers(0, 4))
)


def by_id(log: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return sorted(log, key=lambda dive: str(dive["id"]))


def diver(name: str) -> int:
    with store.transaction():
        return users.add_user(name, name, "none", "2031-04-01T08:00:00Z").id


def send(user_id: int, phone: Phone) -> None:
    phone.take(sync.sync(user_id, phone.request(), NOW))


def same(kept: KeptLogs, user_id: int) -> bool:
    with store.reading():
        return by_id(kept.log_of(user_id)) == by_id(records.whole_log(user_id))


@given(DEEDS)
@settings(max_examples=60)
def test_after_any_history_the_kept_log_is_the_one_of_the_file(
    tmp_path_factory: pytest.TempPathFactory, deeds: list[tuple[str, int]]
) -> None:
    store.open_store(tmp_path_factory.mktemp("kept") / "lineslate.sqlite3")
    runa, odd = diver("runa"), diver("odd")
    phone, other, kept, made = Phone(), Phone(), KeptLogs(most_records=3), list[str]()
    for deed, at in deeds:
        if deed == "put":
            made.append(phone.put(made[at] if at < len(made) else None, {**DIVE, "note": f"{len(made)}"}))
            send(runa, phone)
        elif deed == "delete" and made:
            phone.delete(made[at % len(made)])
            send(runa, phone)
        elif deed == "roll back":
            rolled_back(kept, runa)
            made.append(phone.put(fields=DIVE))  # it gets the change number of what was rolled back
            send(runa, phone)
        elif deed == "epoch":
            with store.transaction():
                meta.renew_epoch()
        elif deed == "other":
            other.put(fields=DIVE)
            send(odd, other)
        assert same(kept, runa)
        assert same(kept, odd)
    store.close()


def rolled_back(kept: KeptLogs, user_id: int) -> None:
    """Look at the log inside a transaction that then fails: nothing of it may be remembered."""
    with suppress(ZeroDivisionError), store.transaction():
        lost = Phone()
        lost.put(fields={**DIVE, "note": "rolled back"})
        sync.take(user_id, lost.device, lost.request()["operations"], "2031-04-01T08:00:00Z")
        kept.log_of(user_id)
        raise ZeroDivisionError


def test_threads_that_ask_while_dives_arrive_each_see_a_whole_log(tmp_path: Path) -> None:
    store.open_store(tmp_path / "lineslate.sqlite3")
    runa, phone, kept = diver("runa"), Phone(), KeptLogs()

    def look(_: int) -> bool:
        try:
            return same(kept, runa)
        finally:
            store.close()

    with ThreadPoolExecutor(4) as pool:
        looks = pool.map(look, range(60))
        for _ in range(30):
            phone.put(fields=DIVE)
            send(runa, phone)
        assert all(looks)
    store.close()


def test_no_more_records_are_kept_than_there_is_memory_for(tmp_path: Path) -> None:
    store.open_store(tmp_path / "lineslate.sqlite3")
    kept = KeptLogs(most_records=5)
    for name in ("runa", "odd", "ebba"):
        user_id, phone = diver(name), Phone()
        for _ in range(2):
            phone.put(fields=DIVE)
        send(user_id, phone)
        with store.reading():
            kept.log_of(user_id)
    assert [len(one.dives) for one in kept._kept.values()] == [2, 2]

    phone.put(fields=DIVE)
    send(user_id, phone)
    with store.reading():
        kept.log_of(user_id)
    assert [len(one.dives) for one in kept._kept.values()] == [2, 3]
    store.close()
