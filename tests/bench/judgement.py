"""Judges the book's rules against simple variants of them: `python tests/bench/judgement.py [DIVERS]`.

So many invented divers (300 unless said), a quarter for each capacity, dive each story by the real planner, day by day.
How they answer to depth is our own assumption (tests/support/divers.py): the table compares rules with each other and
says nothing about real divers. Seeds are fixed, and each variant meets the same days.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from statistics import fmean, stdev
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from support.divers import Deed, Diver, dived  # noqa: E402
from support.seasons import day, sheet_of, without_cards  # noqa: E402

DIVERS, SEED = 300, "judgement 1"
CAPACITIES_M = (40, 60, 80, 100)
STEPS_M = (2, 3, 5)  # what divers type as their step: the pace cuts the longer ones near the best
RUNGS_UNDER_M = 4  # two of the book's steps
COMFORTABLE, BEST = 0.8, 0.88  # share of the capacity
BREAK_DAYS, PART_DAYS = 60, 30
Json = dict[str, Any]
NO_PACE = {"ladder.pace": [{"step_m": 10}]}
NO_TIME_AWAY = {"start.time_away": [{"share": 1.0}]}


def unchanged(sheet: Json) -> None:
    """Leave the sheet as it was compiled."""


def one_everywhere(sheet: Json) -> None:
    """Let one clean dive do beyond the best too: no rule allows that."""
    for ladder in sheet["disciplines"].values():
        for rung in ladder["rungs"]:
            rung["needs"] = 1


def only_in_a_row(sheet: Json) -> None:
    """Count only dives in a row that were not clean: no rule takes the second look away."""
    sheet["numbers"]["not_clean"] = sheet["numbers"]["of_last"] + 1


@dataclass(frozen=True)
class Variant:
    """Rules that differ from the book's: clean dives a rung, rules of the season, and what no rule can say."""

    name: str
    repeats: int = 3
    below: int = 1
    rules: Mapping[str, Any] | None = None
    patch: Callable[[Json], None] = unchanged


VARIANTS = (
    Variant("book"),
    Variant("two everywhere", 2, 2),
    Variant("one everywhere", 1, 1, None, one_everywhere),
    Variant("three everywhere", 3, 3),
    Variant("no two-of-three", patch=only_in_a_row),
    Variant("no pace", rules=NO_PACE),
    Variant("no time away", rules=NO_TIME_AWAY),
)


@dataclass(frozen=True)
class Story:
    """A season: how many days, the break in its middle, and where it begins as metres beyond the capacity."""

    name: str
    days: int
    break_days: int = 0
    start_beyond_m: float | None = None


STORIES = (
    Story("60 days, 3 on and 1 off", 60),
    Story("a start 10 m too deep", 60, 0, 10),
    Story("a break of 60 days", 2 * PART_DAYS + BREAK_DAYS, BREAK_DAYS),
)


@dataclass(frozen=True)
class Season:
    """What one diver's season came to; `first_beyond_m` is that of the first dive after the break.

    `until` counts the deep dives until the first that was near the capacity, or after a start too deep at it or above;
    all of them if there was none.
    """

    until: int
    was_there: bool
    not_clean: float
    deepest_beyond_m: float
    beyond: int
    harms: float
    swings: int
    first_beyond_m: float


def season_of(story: Story, capacity_m: float, step_m: float, variant: Variant) -> Json:
    """Return the season as typed."""
    level = {"discipline": "FIM", "step_m": step_m, "repeats": variant.repeats, "repeats_below_best": variant.below}
    if story.start_beyond_m is None:
        where = {"best_m": BEST * capacity_m, "comfortable_m": COMFORTABLE * capacity_m, "comfortable_on": day(-2)}
    else:
        start_m = capacity_m + story.start_beyond_m
        where = {"best_m": start_m - 5, "start_m": start_m}  # a start is at most 5 m deeper than the best
    return {
        "first_day": day(0), "last_day": day(story.days - 1), "days_on": 3, "days_off": 1, "closed_days": [],
        "block_days": PART_DAYS if story.break_days else story.days, "break_days": story.break_days,
        "site": {"name": "Invented Bay", "bottom_m": 150}, "lead": ["FIM"], "drill": None,
        "disciplines": [{**level, **where, "goals": {"dream_m": 1.3 * capacity_m}}], "rules": variant.rules or {},
    }  # fmt: skip


def seasons_of(story: Story, capacity_m: float, variant: Variant, divers: int) -> Iterator[Season]:
    """Yield what each diver's season came to."""
    sheets = {step_m: without_cards(sheet_of(season_of(story, capacity_m, step_m, variant))) for step_m in STEPS_M}
    for sheet in sheets.values():
        variant.patch(sheet)
    for at in range(divers):
        diver = Diver(capacity_m, f"{SEED} {story.name} {capacity_m} {at}", story.days)
        yield judged(dived(sheets[STEPS_M[at % len(STEPS_M)]], diver), story)


def judged(deeds: Sequence[Deed], story: Story) -> Season:
    """Count what a season came to."""
    is_there = is_back if story.start_beyond_m else is_near
    there = next((at for at, one in enumerate(deeds) if is_there(one)), None)
    after_n = PART_DAYS + story.break_days
    bad = [one.verdict for one in deeds if one.verdict != "clean"]
    return Season(
        until=len(deeds) if there is None else there + 1,
        was_there=there is not None,
        not_clean=100 * len(bad) / len(deeds),
        deepest_beyond_m=max(one.beyond_m for one in deeds),
        beyond=sum(one.beyond_m > 0 for one in deeds),
        harms=100 * sum(one in ("lmc", "blackout") for one in bad) / len(deeds),
        swings=swings_of(deeds),
        first_beyond_m=next((one.target_m - one.capacity_m for one in deeds if one.n >= after_n), 0.0),
    )


def is_near(deed: Deed) -> bool:
    """Tell whether a dive's target was at most two rungs above the capacity, or beyond it."""
    return deed.target_m >= deed.capacity_m - RUNGS_UNDER_M


def is_back(deed: Deed) -> bool:
    """Tell whether a dive's target was no deeper than the capacity."""
    return deed.target_m <= deed.capacity_m


def swings_of(deeds: Sequence[Deed]) -> int:
    """Return how often the targets went down and then up again."""
    moves = [other.target_m > one.target_m for one, other in pairwise(deeds) if other.target_m != one.target_m]
    return sum(up and not before for before, up in pairwise(moves))


MEASURES: tuple[tuple[str, str, Callable[[Season], float]], ...] = (
    ("dives until there", "{:.1f}", lambda one: one.until),
    ("came there, %", "{:.0f}", lambda one: 100 * one.was_there),
    ("not clean, %", "{:.1f}", lambda one: one.not_clean),
    ("deepest beyond, m", "{:.1f}", lambda one: one.deepest_beyond_m),
    ("dives beyond", "{:.1f}", lambda one: one.beyond),
    ("harm in 100", "{:.2f}", lambda one: one.harms),
    ("swings", "{:.1f}", lambda one: one.swings),
    ("first after the break, m", "{:+.1f}", lambda one: one.first_beyond_m),
)


def row_of(variant: Variant, found: Sequence[Sequence[Season]], with_break: bool) -> str:
    """Return a row of the table; each cell has the mean of each capacity."""
    cells = [
        " / ".join(said.format(fmean(measure(one) for one in seasons)) for seasons in found)
        for _, said, measure in (MEASURES if with_break else MEASURES[:-1])
    ]
    return f"| {variant.name} | {' | '.join(cells)} |"


def beaten(book: Sequence[Season], other: Sequence[Season]) -> bool:
    """Tell whether a variant is faster and also less beyond the capacity: less deep or less often, and neither more."""
    pairs = list(zip(book, other, strict=True))
    faster = [one.until - two.until for one, two in pairs]
    beyond = ([one.deepest_beyond_m - two.deepest_beyond_m for one, two in pairs],
              [one.beyond - two.beyond for one, two in pairs])  # fmt: skip
    return is_more(faster) and any(map(is_more, beyond)) and all(fmean(less) >= 0 for less in beyond)


def is_more(differences: Sequence[float]) -> bool:
    """Tell whether the mean of paired differences is beyond twice its standard error."""
    return fmean(differences) > 2 * stdev(differences) / len(differences) ** 0.5


def tell(story: Story, divers: int) -> None:
    """Print one story's table, and for each capacity whether the book holds."""
    names = [name for name, _, _ in (MEASURES if story.break_days else MEASURES[:-1])]
    print(f"\n{story.name}\n\n| rules | {' | '.join(names)} |\n|{'---|' * (len(names) + 1)}")
    found, each = {}, divers // len(CAPACITIES_M)
    for variant in VARIANTS if story.break_days else VARIANTS[:-1]:
        found[variant.name] = [list(seasons_of(story, capacity_m, variant, each)) for capacity_m in CAPACITIES_M]
        print(row_of(variant, found[variant.name], bool(story.break_days)), flush=True)
    print()
    for at, capacity_m in enumerate(CAPACITIES_M):
        better = [name for name, seasons in found.items() if name != "book" and beaten(found["book"][at], seasons[at])]
        print(f"{capacity_m} m: " + (f"the book is beaten by {', '.join(better)}" if better else "the book holds"))


def main() -> None:
    """Tell all stories."""
    divers = int(sys.argv[1]) if len(sys.argv) > 1 else DIVERS
    print(f"{divers} divers with capacities of {' / '.join(map(str, CAPACITIES_M))} m, seed {SEED!r}")
    for story in STORIES:
        tell(story, divers)


if __name__ == "__main__":
    main()
