"""How long a plan takes: `python tests/bench/plan.py`.

A 60-day season with 150 logged dives. In Python: the log folded into the sheet that the server keeps, and once more
with the season checked and compiled before, as after each change of it. On the phone: the log folded, in a real browser
slowed down six times. Beside each the time of parsing the same log from JSON, as a measure of the machine.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from support.browsers import running_browser  # noqa: E402
from support.seasons import day, dive, sheet_of  # noqa: E402
from support.static_files import serving_static  # noqa: E402

from webapp.planner.reader.ladder import read  # noqa: E402

GOAL_MS = {"python": 5, "phone": 16}
SEASON = {
    "first_day": day(0), "last_day": day(59), "days_on": 5, "days_off": 1, "block_days": 28, "break_days": 4,
    "closed_days": [], "site": {"name": "Invented Bay", "bottom_m": 110}, "lead": ["FIM", "CWT"],
    "disciplines": [
        {"discipline": name, "best_m": 60, "start_m": 40, "step_m": 1, "repeats": 2, "goals": {"aim_m": 70}}
        for name in ("FIM", "CWT")
    ],
    "drill": {"discipline": "CWT", "depth_m": 22, "dives": 2}, "rules": {},
}  # fmt: skip


def log_of(dives: int) -> list[dict[str, Any]]:
    """As many dives as asked, three a day."""
    signs = ([], [], ["urge_at_bottom"], [], ["ears_slow"])
    return [
        dive(
            id=f"d{at:05}", date=day(at // 3), at=f"{8 + at % 3:02}:00", discipline=("FIM", "CWT")[at % 2],
            role=("deep", "drill", "drill")[at % 3], target_m=40, reached_m=(40, 22, 31)[at % 3], signs=signs[at % 5],
        )
        for at in range(dives)
    ]  # fmt: skip


def median_ms(run: Callable[[], object], rounds: int = 101) -> float:
    """The median of so many runs, in milliseconds."""
    took = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


PHONE = """async ([sheet, log, today]) => {
  const { read } = await import('/js/reader/ladder.js');
  const text = JSON.stringify(log), took = [], parsed = [];
  for (let round = 0; round < 101; round++) {
    const start = performance.now(); read(sheet, log, today); const middle = performance.now(); JSON.parse(text);
    took.push(middle - start); parsed.push(performance.now() - middle);
  }
  const median = (some) => some.sort((a, b) => a - b)[Math.floor(some.length / 2)];
  return { read: median(took), first: took[0], parse: median(parsed) };
}"""


def phone_ms(sheet: dict[str, Any], log: list[dict[str, Any]]) -> dict[str, float]:
    """The same plan in a real browser with its processor slowed down six times."""
    with running_browser() as browser, serving_static(ROOT / "static") as address:
        page = browser.new_page()
        page.goto(f"{address}/css/base.css")
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
        return page.evaluate(PHONE, [sheet, log, day(50)])


def main() -> None:
    """Print both, each with its goal and as a ratio to parsing the log."""
    sheet, log = sheet_of(SEASON), log_of(150)
    text = json.dumps(log)
    parse = median_ms(lambda: json.loads(text))
    whole = median_ms(lambda: read(sheet_of(SEASON), log, day(50)))
    fold = median_ms(lambda: read(sheet, log, day(50)))
    print(f"python: fold {fold:.2f} ms (goal {GOAL_MS['python']}), {fold / parse:.1f} x parsing the log "
          f"({parse:.2f} ms); of a season just changed, check and compile too: {whole:.2f} ms")  # fmt: skip
    phone = phone_ms(sheet, log)
    print(f"phone at 6 x slow-down: fold {phone['read']:.2f} ms (goal {GOAL_MS['phone']}); "
          f"{phone['read'] / max(phone['parse'], 0.01):.1f} x parsing the log")  # fmt: skip
    for dives in (10, 100, 1000, 10000):
        log = log_of(dives)
        print(f"{dives:>6} dives: fold {median_ms(lambda some=log: read(sheet, some, day(50)), 5):.2f} ms")


if __name__ == "__main__":
    main()
