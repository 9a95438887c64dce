"""How fast dives are taken in: `python tests/bench/sync.py`.

Batches of 100 with strict check, journal and replan, by way of the action that the sync door calls, as the app of today
asks for it. Beside it, in the same run, the same rows put bare into a second SQLite file of the same schema, one
transaction a batch. Once by the clock on the wall, and once by the time of the processor, which a busy machine leaves
as it is.

Then the same batches over HTTP: the real server process, one connection that is kept open, one batch after the other,
each followed by the same rows put bare. A phone asks as the app of today does: for all kinds, compressed, and for the
ladder sheet only until it has it, which is at its first batch. By the wall that is from the first byte sent to the last
byte read, so the client's part of it counts too. By the processor it is the server process alone, with everything that
it does from the first batch to the last, beside what the bare insert takes of this process.
"""

from __future__ import annotations

import gzip
import http.client
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
from typing import Any, NamedTuple
from uuid import uuid4

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from load import processor_s, serving, signed_in  # noqa: E402
from support.bare import Rows, bare_file, insert, latest_rows  # noqa: E402
from support.phones import DIVE, NOW, SEASON, TODAY, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import planning, seasons, sync  # noqa: E402
from webapp.protocol.kinds import KINDS  # noqa: E402
from webapp.store import feeds, users  # noqa: E402

BATCH = 100
DIVERS, ROUNDS = 20, 3
GOAL_PER_S, GOAL_SHARE, GOAL_P95_TIMES = 5_400, 0.2, 15
GOAL_SHARE_HTTP = 0.1
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


class OverHttp(NamedTuple):
    """The seconds of each batch by the wall, ours and bare, and those of the processor for all of them."""

    wall: list[float]
    bare_wall: list[float]
    server_s: float
    bare_s: float


class Line:
    """A connection to the server that is kept open, by which many phones ask one after the other."""

    def __init__(self, port: int) -> None:
        self._http = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self._http.connect()
        self._sheets: dict[str, str] = {}  # the ladder sheet that each phone has, by its cookie

    def sent(self, cookie: str, phone: Phone) -> float:
        """Send what waits on a phone and let it take the answer; return the seconds from first to last byte."""
        asks = {"Content-Type": "application/json", "Accept-Encoding": "gzip", "Sec-Fetch-Site": "same-origin"}
        has = {"Lineslate-Sheet": self._sheets[cookie]} if cookie in self._sheets else {}
        body = json.dumps(phone.request())
        start = time.perf_counter()
        self._http.request("POST", "/sync", body, {**asks, **has, "Lineslate-Kinds": ",".join(KINDS), "Cookie": cookie})
        answer = self._http.getresponse()
        data = answer.read()
        took = time.perf_counter() - start
        assert answer.status == 200, data
        said: dict[str, Any] = json.loads(gzip.decompress(data) if answer.headers["Content-Encoding"] else data)
        assert [one["status"] for one in said["results"]] == ["stored"] * BATCH
        self._sheets[cookie] = said["snapshot"]["sheet_id"]
        phone.take(said)
        return took

    def close(self) -> None:
        """Hang up."""
        self._http.close()


def taken_in_over_http(file: Path, bare: Path) -> OverHttp:
    """Let each diver send a hundred dives by the real server, some rounds long."""
    cookies = signed_in(file, DIVERS)
    process, port = serving(file)
    try:
        with closing(Line(port)) as line, closing(bare_file(bare)) as target:
            before = processor_s(process.pid)
            wall, bare_wall, bare_s = turn_by_turn(file, line, cookies, target)
            return OverHttp(wall, bare_wall, processor_s(process.pid) - before, bare_s)
    finally:
        process.kill()
        process.communicate()


def turn_by_turn(
    file: Path, line: Line, cookies: list[str], target: sqlite3.Connection
) -> tuple[list[float], list[float], float]:
    """Let each phone send, and put the same rows bare; return the seconds of both, and those of the processor."""
    boat, ours, raw, raw_s = [(cookie, Phone()) for cookie in cookies], [], [], 0.0
    for at, (cookie, phone) in enumerate(boat * ROUNDS):
        dives(phone, BATCH)
        ours.append(line.sent(cookie, phone))
        rows = sent_rows(file, at % DIVERS)
        begun_s = time.process_time()
        raw.append(insert(target, *rows))
        raw_s += time.process_time() - begun_s
    return ours, raw, raw_s


def sent_rows(file: Path, at: int) -> tuple[Rows, Rows]:
    """Return what the last batch of the diver in this place has left in the server's file."""
    with closing(sqlite3.connect(file)) as source:  # not kept open: the server may be the only one that has the file
        feeds = source.execute("SELECT id FROM feed WHERE kind = 'log' ORDER BY id").fetchall()
        return latest_rows(source, feeds[at][0], BATCH)


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


def show_http(took: OverHttp) -> None:
    """Print the share of the bare insert that the server reaches over HTTP."""
    for by, ours_s, raw_s in (
        ("the wall clock", statistics.median(took.wall), statistics.median(took.bare_wall)),
        ("processor time of the server alone", took.server_s / len(took.wall), took.bare_s / len(took.wall)),
    ):
        print(f"over HTTP, by {by}: {BATCH / ours_s:,.0f} records/s, {1000 * ours_s:.1f} ms a batch")
        print(f"  ours is {raw_s / ours_s:.3f} of bare (goal {GOAL_SHARE_HTTP}), which takes {1000 * raw_s:.1f} ms")


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
        over_http = taken_in_over_http(folder / "http.sqlite3", folder / "bare.sqlite3")
    show_share("the wall clock", *wall)
    show_share("processor time", *processor)
    show_http(over_http)


if __name__ == "__main__":
    main()
