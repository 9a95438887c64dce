"""Many divers come back to shore at once: `python tests/bench/load.py [divers]`.

The real server process on a real file; each diver's phone sends six dives the moment it has signal, all of them
together, while the server recalculates each plan. Prints records a second, how long a phone waits, the server's memory
and processor time, and whether every dive is there once; beside it, in the same run, the same rows put bare into a
second file, one transaction a phone. Exits 1 when a dive is lost, doubled or refused.
"""

from __future__ import annotations

import http.client
import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any
from uuid import uuid4

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from flask import g  # noqa: E402
from support.bare import bare_file, insert, latest_rows  # noqa: E402
from support.phones import DIVE, NOW, SEASON, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import seasons  # noqa: E402
from webapp.store import users  # noqa: E402
from webapp.web import signin  # noqa: E402
from webapp.web.app import create_app  # noqa: E402

DIVERS, DIVES = 100, 6


def signed_in(file: Path, count: int) -> list[str]:
    """Make divers with a season each; return their cookies."""
    app, cookies = create_app({"DATA_FILE": str(file)}), []
    for at in range(count):
        with app.test_request_context():
            with store.transaction():
                user = users.add_user(f"diver {at}", f"diver {at}", "none", "t")
            seasons.save_season(user.id, None, "Spring", SEASON, NOW)
            signin.begin(user.id)
            cookies.append(f"lineslate={g.sign_in_cookie}")
            store.close()
    return cookies


def serving(file: Path) -> tuple[subprocess.Popen[str], int]:
    """Start the server on a free port."""
    command = [sys.executable, "-m", "webapp", "serve", "--port", "0", "--data", str(file)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert process.stdout is not None
    return process, int(process.stdout.readline().rstrip("/\n").rsplit(":", 1)[1])


def request_of_a_day() -> dict[str, Any]:
    """What a phone sends after a day on the boat."""
    phone = Phone()
    for at in range(DIVES):
        phone.put(str(uuid4()), {**DIVE, "at": f"{9 + at:02}:00", "role": "drill", "reached_m": 15}, op=str(uuid4()))
    return phone.request(device=str(uuid4()))


def send(port: int, cookie: str, request: dict[str, Any], start: threading.Barrier, told: list[Any]) -> None:
    """Wait for the others, then send as a phone does: again while the server asks to wait."""
    start.wait()
    began = time.perf_counter()
    headers = {"Content-Type": "application/json", "Sec-Fetch-Site": "same-origin", "Cookie": cookie}
    while True:
        with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=60)) as line:
            line.request("POST", "/sync", json.dumps(request), headers)
            answer = line.getresponse()
            said = json.loads(answer.read())
        if answer.status == 200:
            break
        if answer.status not in (429, 503):
            raise RuntimeError(f"answered {answer.status}: {said}")
        time.sleep(0.2)
    told.append((1000 * (time.perf_counter() - began), [one["status"] for one in said["results"]]))


def processor_s(pid: int) -> float:
    """The seconds of the processor that the server has used: other programs and the disk leave them as they are."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")  # of the program and of the kernel for it


def memory_mb(pid: int) -> float:
    """The most memory that the server ever had."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(next(line for line in status.splitlines() if line.startswith("VmHWM")).split()[1]) / 1024


def storm(file: Path, count: int) -> bool:
    """Let them all come back at once, and print; tell whether all is there."""
    cookies, requests = signed_in(file, count), [request_of_a_day() for _ in range(count)]
    process, port = serving(file)
    try:
        told: list[Any] = []
        start = threading.Barrier(count + 1)
        phones = [
            threading.Thread(target=send, args=(port, *each, start, told))
            for each in zip(cookies, requests, strict=True)
        ]
        for phone in phones:
            phone.start()
        used = processor_s(process.pid)
        start.wait()
        began = time.perf_counter()
        for phone in phones:
            phone.join()
        took, memory, used = time.perf_counter() - began, memory_mb(process.pid), processor_s(process.pid) - used
    finally:
        process.kill()
        process.communicate()
    waits = [wait for wait, _ in told]
    print(f"{count} divers with {DIVES} dives each: {count * DIVES / took:,.0f} records/s, all in after {took:.2f} s")
    print(f"a phone waits {statistics.median(waits):.0f} ms, p95 {statistics.quantiles(waits, n=20)[-1]:.0f} ms")
    print(f"the server's memory at its highest: {memory:.0f} MB")
    print(f"of the processor the server uses {1000 * used / count:.1f} ms a phone")
    show_bare(file, count, took, used)
    return nothing_lost(file, requests, told)


def show_bare(file: Path, count: int, took: float, used: float) -> None:
    """Put the same rows bare into a second file, a phone's rows at once, and print the share."""
    for name, clock, ours in (("wall clock", time.perf_counter, took), ("processor time", time.process_time, used)):
        raw = put_bare(file, file.with_name(f"{name}.sqlite3"), clock)
        print(f"bare SQLite by {name}: {count * DIVES / raw:,.0f} records/s; ours is {raw / ours:.3f} of it")


def put_bare(file: Path, bare: Path, clock: Callable[[], float]) -> float:
    """Put the rows of each phone into a bare file in one transaction, and return the seconds of them all."""
    with closing(sqlite3.connect(file)) as source, closing(bare_file(bare)) as target:
        feeds = source.execute("SELECT id FROM feed").fetchall()
        return sum(insert(target, *latest_rows(source, feed_id, DIVES), clock) for (feed_id,) in feeds)


def nothing_lost(file: Path, requests: list[dict[str, Any]], told: list[Any]) -> bool:
    """Tell whether every dive is there once, and was answered as stored."""
    with closing(sqlite3.connect(file)) as connection:
        stored = sorted(record for (record,) in connection.execute("SELECT record FROM record WHERE kind = 'dive'"))
    sent = sorted(one["record"] for request in requests for one in request["operations"])
    whole = sent == stored and {status for _, each in told for status in each} == {"stored"}
    print("nothing lost, nothing twice" if whole else f"LOST: {len(sent)} sent, {len(stored)} there")
    return whole


def main() -> int:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        return int(not storm(Path(name) / "lineslate.sqlite3", int(sys.argv[1]) if len(sys.argv) > 1 else DIVERS))


if __name__ == "__main__":
    sys.exit(main())
