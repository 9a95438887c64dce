"""One diver with a very long log asks as fast as eight connections can; how long does another wait?

`python tests/bench/fairness.py [dives]`: the real server process on a real file. Prints the other diver's waits for an
exchange without news, alone and beside the crowd of the first. Exits 1 when the median beside it is over the
goal.
"""

from __future__ import annotations

import http.client
import json
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from load import serving, signed_in  # noqa: E402
from support.phones import DIVE, NOW, Phone  # noqa: E402

from webapp import store  # noqa: E402
from webapp.actions import sync  # noqa: E402

CONNECTIONS, ASKED, GOAL_MS = 8, 60, 100
HEADERS = {
    "Content-Type": "application/json", "Sec-Fetch-Site": "same-origin", "Lineslate-Kinds": "dive,clearance,day",
}  # fmt: skip


def long_log(file: Path, dives: int) -> Phone:
    """Give the first diver so many dives; return their phone, which is up to date."""
    store.open_store(file)
    phone = Phone()
    for at in range(dives):
        phone.put(fields={**DIVE, "date": f"{2006 + at // 1000 % 25}-{1 + at % 12:02}-{1 + at % 28:02}"})
        if at % 100 == 99:
            phone.take(sync.sync(1, phone.request(), NOW))
    store.close()
    return phone


def exchange(connection: http.client.HTTPConnection, cookie: str, asked: dict[str, Any]) -> float:
    """Sync once over a connection that stays open; return the seconds it took."""
    begun = time.perf_counter()
    connection.request("POST", "/sync", json.dumps(asked), {**HEADERS, "Cookie": cookie})
    answer = connection.getresponse()
    said = answer.read()
    assert answer.status in (200, 429), said
    if answer.status == 429:
        time.sleep(float(answer.headers["Retry-After"]))
    return time.perf_counter() - begun


def crowd(port: int, cookie: str, phone: Phone, told: threading.Event) -> None:
    """One of the first diver's connections: a dive in each exchange, as fast as it goes."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    mine = Phone()
    mine.mark, mine.epoch = phone.mark, phone.epoch
    while not told.is_set():
        mine.put(fields=DIVE)
        exchange(connection, cookie, mine.request())


def waits_ms(port: int, cookie: str) -> list[float]:
    """Return how long each exchange without news of the other diver took."""
    connection, asked = http.client.HTTPConnection("127.0.0.1", port, timeout=60), Phone().request()
    return [1000 * exchange(connection, cookie, asked) for _ in range(ASKED)]


def main() -> int:
    """Print both medians; return the exit status."""
    dives = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "lineslate.sqlite3"
        first, other = signed_in(file, 2)
        phone, (process, port) = long_log(file, dives), serving(file)
        alone, told = waits_ms(port, other), threading.Event()
        threads = [threading.Thread(target=crowd, args=(port, first, phone, told)) for _ in range(CONNECTIONS)]
        for thread in threads:
            thread.start()
        beside = waits_ms(port, other)
        told.set()
        for thread in threads:
            thread.join()
        process.terminate()
        process.wait()
    middle = statistics.median(beside)
    print(f"{dives} dives: the other diver waits {statistics.median(alone):.1f} ms alone, {middle:.1f} ms beside "
          f"{CONNECTIONS} connections (goal {GOAL_MS} ms), at most {max(beside):.0f} ms")  # fmt: skip
    return int(middle > GOAL_MS)


if __name__ == "__main__":
    sys.exit(main())
