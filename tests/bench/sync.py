"""How fast dives are taken in: `python tests/bench/sync.py`.

Batches of 100 with strict check, journal and replan, by way of the action that the sync door calls, as the app of today
asks for it. Beside it, in the same run, the same rows put bare into a second SQLite file of the same schema, one
transaction a batch. Once by the clock on the wall, and once by the time of the processor, which a busy machine leaves
as it is.
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

from support.bare import bare_file, insert, latest_rows  # noqa: E402
from support.phones import DIVE, NOW, SEASON, TODAY, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import planning, seasons, sync  # noqa: E402
from webapp.store import feeds, users  # noqa: E402

BATCH = 100
DIVERS, ROUNDS = 20, 3
GOAL_PER_S, GOAL_SHARE, GOAL_P95_TIMES = 5_400, 0.2, 15
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
    answer = sync.sync(user_id, request, NOW, keeps_own=True)
    took = clock() - start
    phone.take(answer)
    return took


def taken_in(file: Path, bare: Path, clock: Callable[[], float]) -> tuple[list[float], list[float]]:
    """Let each diver of a boat send a hundred dives, some rounds long; return the seconds a batch, ours and bare.

    Turn by turn, so that whatever else the machine does slows down both.
    """
    boat, ours, raw = [(diver(f"{bare.name} {at}"), Phone()) for at in range(DIVERS)], [], []
    with closing(sqlite3.connect(file)) as source, closing(bare_file(bare)) as target:
        for user_id, phone in boat * ROUNDS:
            ours.append(timed(user_id, phone, BATCH, clock=clock))
            raw.append(insert(target, *latest_rows(source, feeds.log_feed(user_id), BATCH), clock))
    return ours, raw


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


def show_share(by: str, took: list[float], bare: list[float]) -> None:
    """Print how many records a second were taken in, beside those put bare."""
    ours, raw = BATCH / statistics.median(took), BATCH / statistics.median(bare)
    p95_s = statistics.quantiles(took, n=20)[-1]
    times = p95_s / statistics.median(bare)
    print(f"by {by}: {ours:,.0f} records/s (goal {GOAL_PER_S:,}), bare SQLite {raw:,.0f}")
    print(f"  ours is {ours / raw:.3f} of bare (goal {GOAL_SHARE})")
    print(f"  p95 of a batch {1000 * p95_s:.1f} ms, {times:.1f} times a bare one (goal {GOAL_P95_TIMES})")


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file = folder / "lineslate.sqlite3"
        store.open_store(file)
        wall = taken_in(file, folder / "wall.sqlite3", time.perf_counter)
        processor = taken_in(file, folder / "processor.sqlite3", time.process_time)
        show_growth(file)
        store.close()
    show_share("the wall clock", *wall)
    show_share("processor time", *processor)


if __name__ == "__main__":
    main()
