"""Judges the forecast on invented divers: `python tests/bench/outlook.py [SEASONS]`, 2,000 unless said.

Each season is dived to its end by the real planner. How its diver answers to depth (tests/support/divers.py) is our own
assumption and not the one that the forecast makes; it says nothing about real divers. After ten deep dives the chance
of each goal that is still open is forecast, and so is the band of the ladder at the end. The tables tell how often
what was said came true, and how long a forecast takes beside one reading of the same plan. Seeds are fixed.

`speed` tells only how long it takes: tests/bench/outlook_speed.py.
`drawn` compares the exact spread with 20,000 seasons of each story of tests/support/drawn.py, drawn by
chance and dived through the real reader: half a minute of processor time.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from statistics import fmean
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from bench import outlook_speed  # noqa: E402
from bench.judgement import CAPACITIES_M, STEPS_M, VARIANTS, Story, season_of  # noqa: E402
from support import drawn  # noqa: E402
from support.divers import Diver, dived  # noqa: E402
from support.seasons import day, sheet_of, without_cards  # noqa: E402

from webapp.forecast.chances import scale_of  # noqa: E402
from webapp.forecast.forecast import FINE, Asked, band_of, inside, none_because, reached_by, told_of  # noqa: E402
from webapp.planner.reader.ladder import read  # noqa: E402
from webapp.rulebook_file import read_rulebook  # noqa: E402

SEASONS, SEED = 2000, "outlook 1"
STORY = Story("60 days, 3 on and 1 off", 60)
BEST_SHARES = (0.82, 0.88, 0.94)  # of the capacity: some divers begin far below what they can do, some close to it
GOALS_RUNGS = {"floor_m": 2, "aim_m": 4, "dream_m": 8}  # beyond the best
FORECAST_AFTER = 10  # deep dives
BANDS, PIT_BINS = 5, 10
LEAST_OF_BAND, MOST_OFF = 50, 0.07
Json = dict[str, Any]
BOOK = read_rulebook()


@dataclass(frozen=True)
class Said:
    """What was said of one open goal, what the plan has if every dive is clean, and whether it came true."""

    goal: str
    chance: float
    if_clean: float
    came: float


@dataclass(frozen=True)
class Ended:
    """One season: what was said of its goals, the forecast of the rung at its end, and that rung."""

    goals: Sequence[Said]
    rungs: dict[float, float]
    rung_m: float

    @property
    def is_inside(self) -> bool:
        """Tell whether the rung lies in the band of about 80 %."""
        band = band_of(self.rungs)
        return band["low_m"] <= self.rung_m <= band["high_m"]

    @property
    def inside_said(self) -> float:
        """The chance with which the forecast itself has the rung in that band: rungs are few, so it is not 80 %."""
        return inside(self.rungs, band_of(self.rungs))

    def pit(self, share: float) -> float:
        """Return the randomised probability integral transform: even between 0 and 1 where a forecast is honest."""
        below = sum(chance for depth_m, chance in self.rungs.items() if depth_m < self.rung_m)
        return below + share * self.rungs.get(self.rung_m, 0.0)


@cache
def sheet_for(capacity_m: float, step_m: float, best_share: float) -> Json:
    """Return a season with its goals so many rungs beyond the best."""
    raw = season_of(STORY, capacity_m, step_m, VARIANTS[0])
    level = raw["disciplines"][0]
    level["best_m"], level["comfortable_m"] = best_share * capacity_m, 0.9 * best_share * capacity_m
    scale = scale_of(sheet_of(raw)["disciplines"]["FIM"])
    level["goals"] = {name: round(scale.best_m + rungs * scale.rung_m, 1) for name, rungs in GOALS_RUNGS.items()}
    return without_cards(sheet_of(raw))


def seasons(count: int, left_out: float = FINE) -> Iterator[Ended]:
    """Yield seasons in which there was something to forecast, of so many."""
    for at in range(count):
        capacity_m, step_m = CAPACITIES_M[at % 4], STEPS_M[at // 4 % 3]
        ended = ended_of(sheet_for(capacity_m, step_m, BEST_SHARES[at // 12 % 3]), capacity_m, f"{SEED} {at}", left_out)
        if ended is not None:
            yield ended


def ended_of(sheet: Json, capacity_m: float, seed: str, left_out: float) -> Ended | None:
    """Dive a season; return what was said after ten deep dives and what came. None where nothing is forecast."""
    chance, log = Random(f"lost {seed}"), []
    lost = {n for n in range(STORY.days) if chance.random() < BOOK.value("forecast.lost")}
    dived(sheet, Diver(capacity_m, seed, STORY.days), log, lost)
    deep = [at for at, record in enumerate(log) if record["kind"] == "dive"]
    if len(deep) < FORECAST_AFTER:
        return None
    until = log[: deep[FORECAST_AFTER - 1] + 1]
    today = until[-1]["date"]
    asked = Asked(sheet, until, today, read(sheet, until, today), BOOK)
    if none_because(asked):
        return None
    told = told_of(asked, left_out)[0]["FIM"]
    end = read(sheet, log, day(STORY.days + 1))["disciplines"]["FIM"]
    plan = asked.plan["disciplines"]["FIM"]["goals"]
    goals = [
        Said(
            name,
            reached_by(told, number),
            float(plan[name]["on"] is not None),
            float(end["goals"][name]["on"] is not None),
        )
        for number, name in enumerate(plan, 1)
        if plan[name]["on"] is None or plan[name]["on"] > today
    ]
    return Ended(goals, told[-1].rung, end["rung_m"])


def brier(said: Sequence[Said], chance: Callable[[Said], float]) -> float:
    """Return the mean squared distance of what was said from what came: 0 is best."""
    return fmean((chance(one) - one.came) ** 2 for one in said)


def base_rate(said: Sequence[Said]) -> Callable[[Said], float]:
    """Return the forecast that always says how often a goal is reached, known only afterwards."""
    came = {name: fmean(one.came for one in said if one.goal == name) for name in {one.goal for one in said}}
    return lambda one: came[one.goal]


def bands(said: Sequence[Said], count: int = BANDS) -> list[list[Said]]:
    """Return the forecasts by what was said, in bands of equal width."""
    found: list[list[Said]] = [[] for _ in range(count)]
    for one in said:
        found[min(int(one.chance * count), count - 1)].append(one)
    return found


def off(band: Sequence[Said]) -> float:
    """Return how much more often a band came true than was said."""
    return fmean(one.came for one in band) - fmean(one.chance for one in band)


def pits(ended: Sequence[Ended]) -> list[int]:
    """Return how many seasons lie in each tenth of the randomised PIT."""
    chance, found = Random(SEED), [0] * PIT_BINS
    for one in ended:
        found[min(int(one.pit(chance.random()) * PIT_BINS), PIT_BINS - 1)] += 1
    return found


def tell(ended: Sequence[Ended]) -> None:
    """Print how often what was said came true."""
    said = [one for season in ended for one in season.goals]
    print(f"{len(ended)} seasons, {len(said)} forecasts of goals after {FORECAST_AFTER} deep dives, seed {SEED!r}")
    print("\n| forecast | Brier score |\n|---|---|")
    print(f"| the forecast | {brier(said, lambda one: one.chance):.3f} |")
    print(f"| always the base rate of that goal | {brier(said, base_rate(said)):.3f} |")
    print(f"| every dive is clean | {brier(said, lambda one: one.if_clean):.3f} |")
    print("\n| goal | forecasts | said | came true | if clean |\n|---|---|---|---|---|")
    for name in GOALS_RUNGS:
        of = [one for one in said if one.goal == name]
        cells = (fmean(value(one) for one in of) for value in (_chance, _came, lambda one: one.if_clean))
        print(f"| {name} | {len(of)} | {' | '.join(f'{cell:.2f}' for cell in cells)} |")
    print(
        "\n| said between | forecasts | mean said | came true | off | standard error | |\n|---|---|---|---|---|---|---|"
    )
    for at, band in enumerate(bands(said)):
        if band:
            print(_row(at, band))
    held, nominal = fmean(one.is_inside for one in ended), fmean(one.inside_said for one in ended)
    tenths = pits(ended)
    print(f"\nband of about 80 %, in whole rungs: holds {100 * held:.0f} %, says of itself {100 * nominal:.0f} %")
    print(f"the middle 80 % of the randomised PIT: holds {100 * middle_of(tenths):.0f} %")
    print(f"randomised PIT by tenths: {' '.join(map(str, tenths))} (even would be {len(ended) / PIT_BINS:.0f})")


def middle_of(tenths: Sequence[int]) -> float:
    """Return the share of seasons in the middle 80 %: a whole rung at its edge counts by part, as chance has it."""
    return sum(tenths[1:-1]) / sum(tenths)


def _row(at: int, band: Sequence[Said]) -> str:
    came = fmean(map(_came, band))
    error = (max(came * (1 - came), 0.01) / len(band)) ** 0.5
    bad = "too far off" if len(band) >= LEAST_OF_BAND and abs(off(band)) > MOST_OFF else ""
    means = f"{fmean(map(_chance, band)):.2f} | {came:.2f} | {off(band):+.2f} | {error:.2f}"
    return f"| {at / BANDS:.1f} and {(at + 1) / BANDS:.1f} | {len(band)} | {means} | {bad} |"


def _chance(one: Said) -> float:
    return one.chance


def _came(one: Said) -> float:
    return one.came


def tell_drawn(seasons: int = 20_000) -> None:
    """Print how far drawn seasons lie from the exact spread."""
    print(f"{seasons} seasons each; the figure that is furthest off, in standard errors (at most 4):")
    for name, best_m in drawn.STORIES.items():
        print(f"{name}: {drawn.agrees(drawn.season(best_m), seasons):.1f}", flush=True)


def main() -> None:
    """Tell all."""
    if sys.argv[1:] == ["drawn"]:
        return tell_drawn()
    if sys.argv[1:] != ["speed"]:
        tell(list(seasons(int(sys.argv[1]) if len(sys.argv) > 1 else SEASONS)))
    return outlook_speed.main()


if __name__ == "__main__":
    main()
