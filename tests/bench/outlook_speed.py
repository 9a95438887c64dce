"""How long forecasts take: `python tests/bench/outlook_speed.py`.

In processor time: a forecast beside one reading of the same plan, the comparison of a season's changes (each is planned
anew, once without and once with its forecast), and a season planned anew whose diver has a log of thousands of dives.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from bench.judgement import VARIANTS, Story, season_of  # noqa: E402
from support.divers import Diver, dived  # noqa: E402
from support.seasons import day, dive, sheet_of, without_cards  # noqa: E402

from webapp.forecast.forecast import COARSE, forecast_of  # noqa: E402
from webapp.forecast.steps import KnownSteps  # noqa: E402
from webapp.forecast.variants import variants_of  # noqa: E402
from webapp.forecast.window import Replan, from_plan, window_of  # noqa: E402
from webapp.planner.reader.ladder import read  # noqa: E402
from webapp.planner.together import sheet_of as sheet_for_season  # noqa: E402
from webapp.records.season import season_and_book  # noqa: E402
from webapp.rulebook_file import read_rulebook  # noqa: E402

SLOTS, STORY, SEED = (15, 30, 60, 120), Story("", 260), "outlook 1"
GOAL_MS, REPLANS, LONG_LOG = {"forecast of 60": 100, "replans": 1000, "long log": 50}, 12, 5000
CAPACITY_M, STEP_M, DIVED = 60, 2, 12
Json = dict[str, Any]
BOOK = read_rulebook()


def main() -> None:
    """Tell all, with the goals."""
    print(f"goals, ms: {GOAL_MS}")
    tell_speed()
    tell_window()
    tell_long_log()


def tell_speed() -> None:
    """Print how long a forecast takes beside one reading of the same plan: the fastest of some runs each."""
    print("\n| dive days to come | one reading, ms | forecast, ms | ratio |\n|---|---|---|---|")
    for slots in SLOTS:
        sheet, log = coming(slots)
        today = log[-1]["date"]
        plan = read(sheet, log, today)
        one = fastest(lambda: read(sheet, log, today))  # noqa: B023 - called at once
        other = fastest(lambda: forecast_of(sheet, log, today, plan, BOOK))  # noqa: B023 - called at once
        print(f"| {slots} | {1000 * one:.1f} | {1000 * other:.0f} | {other / one:.0f} |")


def tell_window() -> None:
    """Print how long it takes to compare changes of a season, and how long so many replans would at that pace."""
    print(f"\n| dive days to come | replans | plan alone, ms | with forecasts, ms | {REPLANS} replans, ms |")
    print("|---|---|---|---|---|")
    for slots in SLOTS[:3]:
        raw, log = typed(slots)
        today = log[-1]["date"]
        variants = variants_of(raw, BOOK, today)
        plain, full = (
            1000 * fastest(lambda: window_of(raw, variants, replanned(log, today, is_full), today, BOOK), 5)  # noqa: B023
            for is_full in (False, True)
        )
        count = 1 + len(variants)
        print(f"| {slots} | {count} | {plain:.0f} | {full:.0f} | {REPLANS * full / count:.0f} |")


def typed(slots: int) -> tuple[Json, list[Json]]:
    """Return a season as typed that ends after so many dive days from the last of its log, and that log."""
    sheet, log = coming(slots)
    raw = season_of(STORY, CAPACITY_M, STEP_M, VARIANTS[0])
    level = raw["disciplines"][0]
    level["goals"] = {"aim_m": level["best_m"] + 9, "dream_m": level["best_m"] + 18}
    return {**raw, "last_day": sheet["days"][-1]["date"]}, log


def replanned(log: Sequence[Json], today: str, is_full: bool) -> Replan:
    """Return the function that plans a season anew, and forecasts it or takes the dates of its plan alone."""
    known = KnownSteps()

    def replan(raw: Json) -> tuple[Json, Json, Json]:
        season, own = season_and_book(raw, BOOK)
        sheet = sheet_for_season(season, own)
        plan = read(sheet, log, today)
        return sheet, plan, forecast_of(sheet, log, today, plan, BOOK, COARSE, known) if is_full else from_plan(plan)

    return replan


def tell_long_log() -> None:
    """Print how long it takes to plan a season anew whose diver has a log of 5,000 dives."""
    raw, log = typed(SLOTS[-1])
    before = [
        dive(id=f"o{at:05}", date=day(-1 - at // 3), target_m=40, reached_m=(40, 22, 31)[at % 3],
             role=("deep", "drill", "drill")[at % 3])
        for at in range(LONG_LOG - len(log))
    ]  # fmt: skip
    replan = replanned([*reversed(before), *log], log[-1]["date"], False)
    print(f"\na season planned anew with a log of {LONG_LOG} dives: {1000 * fastest(lambda: replan(raw)):.0f} ms")


def coming(slots: int) -> tuple[Json, list[Json]]:
    """Return a season with so many dive days after its first dives, and a log of those."""
    raw = season_of(STORY, CAPACITY_M, STEP_M, VARIANTS[0])
    sheet = without_cards(sheet_of(raw))
    days = [one for one in sheet["days"] if one["kind"] == "dive"]
    log: list[Json] = []
    dived(_until(sheet, days[DIVED - 1]["date"]), Diver(CAPACITY_M, SEED, STORY.days), log)
    return _until(sheet, days[DIVED - 1 + slots]["date"]), log


def _until(sheet: Json, last: str) -> Json:
    return {**sheet, "days": [one for one in sheet["days"] if one["date"] <= last]}


def fastest(run: Callable[[], Any], runs: int = 7) -> float:
    """Return the least seconds of some runs: other work on the machine only adds to them."""
    times = []
    for _ in range(runs):
        begun = time.process_time()
        run()
        times.append(time.process_time() - begun)
    return min(times)


if __name__ == "__main__":
    main()
