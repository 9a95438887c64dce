"""What one exchange costs a coach of ten students: `python tests/bench/coach.py`.

Each student has a season and a long log, and logs three dives on the day between two exchanges of the coach. Measured
is the action that the sync door calls, with its JSON and its compression. Sheets that the students' own exchanges
have made are at hand, as on one server; beside it stands the same after the server was started anew.
"""

from __future__ import annotations

import gzip
import sys
import tempfile
import time
from datetime import timedelta
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any
from uuid import uuid4

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from support.phones import DIVE, NOW, SEASON, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import access, planning, seasons, sync  # noqa: E402
from webapp.protocol.kinds import KINDS  # noqa: E402
from webapp.protocol.written import text_of  # noqa: E402
from webapp.store import feeds, users  # noqa: E402
from webapp.web.views.sync import QUICK  # noqa: E402

STUDENTS, DIVES, A_DAY, DAYS = 10, 300, 3, 5
GOAL_MS, GOAL_BYTES = 150, 60_000
MORNING = NOW + timedelta(days=1)
Read = dict[str, dict[str, Any]]


def student(number: int) -> tuple[int, Phone]:
    """Make a diver whose season began a few days ago, with a log of the days before."""
    with store.transaction():
        user = users.add_user(f"Student {number}", f"student {number}", "none", "t")
    best_m = 30 + number
    lead = {**SEASON["disciplines"][0], "best_m": best_m, "start_m": best_m - 4, "goals": {"aim_m": best_m + 6}}
    raw = {**SEASON, "disciplines": [lead], "first_day": (MORNING - timedelta(days=4)).date().isoformat()}
    seasons.save_season(user.id, None, "Spring", raw, NOW)
    phone = Phone()
    for day in range(DIVES // A_DAY):
        log_day(phone, best_m, day - DIVES // A_DAY)
    while phone.outbox:
        phone.take(sync.sync(user.id, phone.request(), NOW))
    return user.id, phone


def log_day(phone: Phone, best_m: int, day: int) -> None:
    """Log the three dives of a day, so many days from the first exchange."""
    date = (MORNING + timedelta(days=day)).date().isoformat()
    for at, (role, depth_m) in enumerate((("warm-up", 12), ("deep", best_m - 4 + day % 3), ("drill", 15))):
        surfaced = f"{date}T{9 + at:02}:{10 + day % 40:02}:20Z"
        about = {"at": surfaced[11:16], "surfaced_at": surfaced, "note": "calm, the line stood well"}
        fields = {**DIVE, "date": date, "role": role, "target_m": depth_m, "reached_m": depth_m, **about}
        phone.put(str(uuid4()), {**fields, "dive_s": round(depth_m * (2 + 0.02 * (day % 9))) + 6}, op=str(uuid4()))


def exchange(coach_id: int, phone: Phone, read: Read, day: int) -> tuple[float, int, bool]:
    """Let the coach ask once; return the milliseconds, the bytes as sent, and whether there is more."""
    asked = [{"feed": name, **has} for name, has in read.items()]
    moment = MORNING + timedelta(days=day, hours=10)
    request = phone.request(feeds=asked, today=moment.date().isoformat(), operations=[])
    start = time.perf_counter()
    answer = sync.sync(coach_id, request, moment, kinds=tuple(KINDS), keeps_own=True)
    sent = gzip.compress(text_of(answer).encode(), QUICK)
    took_ms = 1000 * (time.perf_counter() - start)
    phone.take(answer)
    for feed in answer["feeds"]:
        read[feed["feed"]] = {"mark": feed["mark"], "sheet": feed["snapshot"]["sheet_id"]}
    return took_ms, len(sent), any(feed["more"] for feed in answer["feeds"])


def nothing(_: Read) -> None:
    """Leave everything as it is."""


def forget_sheets(_: Read) -> None:
    """Forget what this server has calculated, as one that was started anew."""
    for kept in (planning._checked, planning._compiled, planning._speeds, planning._planned):
        kept.cache_clear()


def lose_sheets(read: Read) -> None:
    """Let the server calculate, and send, the sheet of every student anew: all of them swim faster now."""
    forget_sheets(read)
    for name in read:
        read[name] |= {"sheet": None}


WAYS = {"after a day": nothing, "by a new server": forget_sheets, "with ten new sheets": lose_sheets}


def a_day(students: list[tuple[int, Phone]], day: int) -> None:
    """Let every student log a day and sync."""
    for number, (user_id, phone) in enumerate(students):
        log_day(phone, 30 + number, day)
        moment = MORNING + timedelta(days=day, hours=9)
        phone.take(sync.sync(user_id, phone.request(today=moment.date().isoformat()), moment))


def measure() -> None:
    """Print the first load, then the exchange after each of some days."""
    with store.transaction():
        coach = users.add_user("Coach", "coach", "none", "t")
    students = [student(number) for number in range(STUDENTS)]
    with store.transaction():
        for user_id, _ in students:
            feeds.put_member(feeds.log_feed(user_id), coach.id, access.whole({"log", "propose"}), "t")
    phone, read, pages = Phone(), Read(), []
    ask = partial(exchange, coach.id, phone, read)
    while not pages or pages[-1][2]:
        pages.append(ask(0))
    size, longest = sum(page[1] for page in pages), max(page[0] for page in pages)
    print(f"first load: {len(pages)} exchanges, {size:,} bytes, {sum(page[0] for page in pages):.0f} ms in all")
    print(f"            the longest took {longest:.0f} ms and the largest has {max(page[1] for page in pages):,} bytes")
    days = iter(range(1, 3 * DAYS))
    for name, before in WAYS.items():
        took = []
        for day in islice(days, DAYS):
            a_day(students, day)
            before(read)
            took.append(ask(day))
        times, sizes = [one[0] for one in took], [one[1] for one in took]
        told = f"{min(times):.0f} to {max(times):.0f} ms (goal {GOAL_MS}), {min(sizes):,} to {max(sizes):,} bytes"
        print(f"{name}: {told} (goal {GOAL_BYTES:,})")


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        store.open_store(Path(name) / "lineslate.sqlite3")
        measure()
        store.close()


if __name__ == "__main__":
    main()
