"""How fast dives are taken in: `python tests/bench/sync.py`.

Batches of 100 with strict check, journal and replan, by way of the action that the sync door calls. Beside it, in the
same run, the same journal rows put bare into a second SQLite file of the same schema, one transaction a batch.
"""

from __future__ import annotations

import json
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from support.bare import bare_file, insert  # noqa: E402
from support.phones import DIVE, NOW, SEASON, TODAY, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import planning, seasons, sync  # noqa: E402
from webapp.store import users  # noqa: E402

BATCH = 100
DIVERS, ROUNDS = 20, 3
GOAL_PER_S, GOAL_SHARE, GOAL_P95_MS = 5_400, 0.3, 60
GROWTH = (10, 100, 1_000, 10_000)
TRIES = 15


def diver(name: str) -> int:
    """Make a diver with an active season."""
    with store.transaction():
        user = users.add_user(name, name, "none", "t")
    seasons.save_season(user.id, None, "Spring", SEASON, NOW)
    return user.id


def dives(phone: Phone, count: int, back_from: int | None = None) -> None:
    """Let a phone log so many dives, three a day: over the season's days, or back in the years from the one given."""
    for at in range(count):
        day = date(2031, 4, 1) + timedelta(days=at // 3 % 28)
        if back_from is not None:
            day = date(2031, 4, 28) - timedelta(days=(back_from + at) // 3)
        fields = {
            **DIVE,
            "date": day.isoformat(),
            "at": f"{9 + at % 3:02}:00",
            "role": ("deep", "drill", "drill")[at % 3],
        }
        phone.put(str(uuid4()), {**fields, "reached_m": (38, 15, 15)[at % 3]}, op=str(uuid4()))


def timed(
    user_id: int, phone: Phone, count: int, back_from: int | None = None, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Log so many dives and return the seconds that one sync of them takes on this clock."""
    dives(phone, count, back_from)
    request = phone.request()
    start = clock()
    answer = sync.sync(user_id, request, NOW)
    took = clock() - start
    phone.take(answer)
    return took


def taken_in(file: Path, folder: Path) -> tuple[list[float], list[float]]:
    """Let each diver of a boat send a hundred dives, some rounds long; return the seconds a batch, ours and bare.

    Turn by turn, so that whatever else the machine does slows down both.
    """
    boat, ours, bare = [(diver(f"diver {at}"), Phone()) for at in range(DIVERS)], [], []
    with closing(sqlite3.connect(file)) as source, closing(bare_file(folder / "bare.sqlite3")) as target:
        for user_id, phone in boat * ROUNDS:
            ours.append(timed(user_id, phone, BATCH))
            rows = source.execute("SELECT * FROM journal ORDER BY id DESC LIMIT ?", (BATCH,)).fetchall()
            bare.append(insert(target, rows[::-1]))
    return ours, bare


def growth(file: Path) -> Iterator[tuple[int, list[float]]]:
    """Yield the length of the log, and the milliseconds of syncing one more dive, of the replan, of bare JSON.

    A long log is long in years: three dives a day, back from the season. Time of the processor, the least of some
    tries: what the rest of the machine does only ever adds to it, and the more the longer a step takes. Beside them
    stands reading the JSON of the same log and nothing else: it too takes more for each dive when the log no longer
    fits the processor's cache.
    """
    user_id, phone, logged = diver("long log"), Phone(), 0
    for length in GROWTH:
        while logged < length:
            count = min(BATCH, length - logged)
            timed(user_id, phone, count, logged)
            logged += count
        one = min(timed(user_id, phone, 1, logged, time.process_time) for _ in range(TRIES))
        plan = min(replanned(user_id) for _ in range(TRIES))
        bare = min(read_bare(file, user_id) for _ in range(TRIES))
        yield length, [1000 * one, 1000 * plan, 1000 * bare]


def replanned(user_id: int) -> float:
    """Return the seconds of reading the log and planning from it, as every exchange does once."""
    with store.reading():
        start = time.process_time()
        planning.current_of(user_id, TODAY)
        return time.process_time() - start


def read_bare(file: Path, user_id: int) -> float:
    """Return the seconds of reading the JSON of the same log, one text after the other."""
    with closing(sqlite3.connect(file)) as source:
        texts = source.execute(
            "SELECT fields FROM record JOIN feed ON feed.id = feed_id WHERE owner_id = ?", (user_id,)
        ).fetchall()
    start = time.process_time()
    found = [json.loads(text) for (text,) in texts]
    took = time.process_time() - start
    assert len(found) == len(texts)
    return took


def show_growth(file: Path) -> None:
    """Print how sync, replan and bare reading grow with the log, each beside the length before."""
    before: list[float] | None = None
    for length, took_ms in growth(file):
        parts = zip(("one dive more", "replan alone", "its JSON alone"), took_ms, before or took_ms, strict=True)
        told = [f"{name} {now:6.1f} ms (x {now / then:4.1f})" for name, now, then in parts]
        print(f"log of {length:>6,}: " + ", ".join(told))
        before = took_ms


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file = folder / "lineslate.sqlite3"
        store.open_store(file)
        took, bare = taken_in(file, folder)
        show_growth(file)
        store.close()
    ours, raw = BATCH / statistics.median(took), BATCH / statistics.median(bare)
    p95_ms = 1000 * statistics.quantiles(took, n=20)[-1]
    print(
        f"taken in:   {ours:8,.0f} records/s (goal {GOAL_PER_S:,}), p95 of a batch {p95_ms:.1f} ms (goal {GOAL_P95_MS})"
    )
    print(f"bare SQLite:{raw:8,.0f} records/s; ours is {ours / raw:.2f} of it (goal {GOAL_SHARE})")


if __name__ == "__main__":
    main()
