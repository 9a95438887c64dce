"""What an answer costs, whatever the log's length: `python tests/bench/answers.py [dives]`.

The whole app in this process, without a network; time of the processor, the median of some tries, in turns. First the
answer to a phone that was away for 60 days with 300 dives, beside one to a phone whose log is empty, both with the
season's sheet. Then the exchange without news of a phone that is up to date, from ten dives on: it must not grow.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from flask.testing import FlaskClient  # noqa: E402
from load import signed_in  # noqa: E402
from support.phones import DIVE, NOW, Phone  # noqa: E402

from webapp.actions import sync  # noqa: E402
from webapp.web.app import create_app  # noqa: E402

AWAY_DAYS, AWAY_DIVES = 60, 300
LENGTHS, DIVES, TRIES = (10, 1_000), 20_000, 60
MOST_TIMES, MOST_GROWTH = 4, 1.2
HEADERS = {"Sec-Fetch-Site": "same-origin", "Lineslate-Kinds": "dive,clearance,day"}


def log_dives(user_id: int, count: int) -> Phone:
    """Let a diver log so many dives, five a day, back from the season; return the phone, which is up to date."""
    phone = Phone()
    for at in range(count):
        day = date(2031, 3, 31) - timedelta(days=at // 5)
        phone.put(fields={**DIVE, "date": day.isoformat(), "role": "drill", "reached_m": 15})
        if at % 100 == 99 or at == count - 1:
            phone.take(sync.sync(user_id, phone.request(), NOW))
    return phone


def cost_ms(client: FlaskClient, cookie: str, asked: Mapping[str, Any], sheet: str = "") -> tuple[float, Any]:
    """Sync once; return the milliseconds of the processor and what was answered."""
    headers = {**HEADERS, "Cookie": cookie, **({"Lineslate-Sheet": sheet} if sheet else {})}
    begun = time.process_time()
    answer = client.post("/sync", json=asked, headers=headers)
    took = 1000 * (time.process_time() - begun)
    assert answer.status_code == 200, answer.text
    return took, answer.json


def medians(client: FlaskClient, asking: Mapping[str, tuple[Any, ...]]) -> dict[str, float]:
    """Ask each in turns; return the median of each."""
    took: dict[str, list[float]] = {name: [] for name in asking}
    for _ in range(TRIES):
        for name, how in asking.items():
            took[name].append(cost_ms(client, *how)[0])
    return {name: statistics.median(some) for name, some in took.items()}


def main() -> int:
    """Measure and print; return the exit status."""
    lengths = (*LENGTHS, int(sys.argv[1]) if len(sys.argv) > 1 else DIVES)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "lineslate.sqlite3"
        empty, away, *others = signed_in(file, 2 + len(lengths))
        app = create_app({"DATA_FILE": str(file), "SYNC_PER_MINUTE": 1_000_000})
        client = app.test_client(use_cookies=False)
        with app.app_context():
            log_dives(2, AWAY_DIVES)
            phones = [log_dives(3 + at, length) for at, length in enumerate(lengths)]
        assert len(cost_ms(client, away, Phone().request())[1]["changes"]) >= AWAY_DIVES
        first = medians(client, {"empty": (empty, Phone().request()), "away": (away, Phone().request())})
        same = {}
        for length, cookie, phone in zip(lengths, others, phones, strict=True):
            _, said = cost_ms(client, cookie, phone.request())
            assert not said["changes"]
            same[str(length)] = (cookie, phone.request(), said["snapshot"]["sheet_id"])
        flat = medians(client, same)
    times, growth = first["away"] / first["empty"], max(flat.values()) / flat[str(lengths[0])]
    print(f"first answer after {AWAY_DAYS} days with {AWAY_DIVES} dives {first['away']:.1f} ms, "
          f"{times:.2f} times an empty one's {first['empty']:.1f} ms (goal {MOST_TIMES})")  # fmt: skip
    print("without news: " + ", ".join(f"{int(name):,} dives {ms:.2f} ms" for name, ms in flat.items())
          + f"; at most {growth:.2f} times the shortest log's (goal {MOST_GROWTH})")  # fmt: skip
    return int(times > MOST_TIMES or growth > MOST_GROWTH)


if __name__ == "__main__":
    sys.exit(main())
