"""Several dives a day as read out to a diver: plans in order of load and longer pauses, never a figure of load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from ..planner.cards import Speeds, water_of
from ..planner.interval import interval_rows
from ..planner.ladders import drilled, well_above
from ..planner.reader.interval import PauseDay
from ..records.model import Season
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from ..water.load import COMPARISON_ONLY, LoadedDive, rank_plans
from ..water.pressure import Water
from ..water.ranges import check
from .parts import Json, Target, missing, part

Dive = tuple[str, float, str]  # discipline, depth in m, what it is for
NOT_LONGER = "No dive of that day makes the pause after a later one longer; longer is still better."
CAUTIONS = (
    COMPARISON_ONLY,
    "The model behind this order comes from compressed-gas diving; divers with low loads in it have been injured.",
)


def load_part(title: str, season: Season, book: Rulebook, speeds: Speeds, targets: Sequence[Target]) -> Json:
    """Return how the next deep day compares with other plans, and which of its pauses get longer."""
    if not targets:
        return missing(title, "No deep dive is planned: there is nothing to compare.")
    water, day = water_of(season.site), _day(season, book, targets[0])
    taken = _taken(day, book, speeds, water)
    loaded = [dive for dive, _ in taken]
    order = [(str(row["name"]), row["place"]) for row in rank_plans(_plans(day, loaded, book, speeds, water), water)]
    says = [f"The next deep day as planned: {_words(day)}.", *_order(order), *_longer(taken)]
    return part(title, says, (), CAUTIONS, order=order)


def _order(order: Sequence[tuple[str, object]]) -> list[str]:
    """Return the plans from the least load to the most; plans that share a place share a sentence."""
    places = list(dict.fromkeys(place for _, place in order))
    says = []
    for index, place in enumerate(places):
        names = [name for name, its_place in order if its_place == place]
        word = "Least load" if index == 0 else "Most load" if index == len(places) - 1 else "More load"
        alike = " (equal here: one dive outweighs the others)" if len(names) > 1 else ""
        says.append(f"{word}: {'; '.join(names)}{alike}.")
    return says


def _day(season: Season, book: Rulebook, target: Target) -> list[Dive]:
    """Return the dives of a deep day as planned; raises OutOfRange for a target that is out of range."""
    discipline, depth_m = target[0], check("depth_m", target[1])
    above = well_above(depth_m, book)
    warm_up = (discipline, above(book.value("warm_up.depth_m")), "warm-up")
    day: list[Dive] = [*[warm_up] * book.value("warm_up.dives"), (discipline, depth_m, "deep dive")]
    for drill in season.blocks[0].drills:
        one = (drill.discipline, drilled(drill, season, book, (discipline, depth_m)), "drill")
        day += [one] * drill.dives
    return day


def _words(day: Sequence[Dive]) -> str:
    counted = {dive: day.count(dive) for dive in day}
    return ", then ".join(
        f"{f'{count} × ' if count > 1 else ''}{discipline} {what} {show(depth_m)} m"
        for (discipline, depth_m, what), count in counted.items()
    )


def _plans(
    day: Sequence[Dive], loaded: list[LoadedDive], book: Rulebook, speeds: Speeds, water: Water
) -> dict[str, list[LoadedDive]]:
    """Return the day as planned, days with fewer and with more dives, and the day with longer pauses."""
    drills = [dive for dive in day if dive[2] == "drill"]
    deep = [dive for dive in day if dive[2] == "deep dive"]
    before = [dive for dive in day if dive[2] != "drill"]
    other = {"without drills": before} if drills else {}
    if len(drills) > 1:
        other["one drill fewer"] = [*before, *drills[1:]]
    other["with a second deep dive"] = [*before, *deep, *drills]
    plans = {"as planned": loaded, **{name: _loaded(dives, book, speeds, water) for name, dives in other.items()}}
    if len(day) > 1:
        doubled = [replace(dive, pause_before_s=2 * dive.pause_before_s) for dive in loaded]
        plans["as planned, with pauses twice as long"] = doubled
    return plans


def _loaded(day: Sequence[Dive], book: Rulebook, speeds: Speeds, water: Water) -> list[LoadedDive]:
    return [dive for dive, _ in _taken(day, book, speeds, water)]


def _taken(day: Sequence[Dive], book: Rulebook, speeds: Speeds, water: Water) -> list[tuple[LoadedDive, Json]]:
    """Return each dive with the pause after it: the phone's own, which counts the dives before it, is then kept."""
    found: list[tuple[LoadedDive, Json]] = []
    taken, surfaced_s, pause = PauseDay(_pause_sheet(book, water)), 0.0, {"seconds": 0.0}
    for discipline, depth_m, _ in day:
        way_s = depth_m / speeds[discipline].m_s
        dive = LoadedDive(depth_m, way_s, book.value("speed.turn_s"), way_s, pause["seconds"])
        surfaced_s += dive.pause_before_s + dive.dive_s
        taken.add({"reached_m": depth_m, "dive_s": round(dive.dive_s), "surfaced_s": surfaced_s})
        pause = taken.pause or pause
        found.append((dive, pause))
    return found


def _pause_sheet(book: Rulebook, water: Water) -> Json:
    """Return as much of a ladder sheet as the reader needs for pauses."""
    words = book.texts["words"]
    return {"interval": interval_rows(water, book), "words": {**words, "ordinals": words["ordinals"].split()}}


def _longer(taken: Sequence[tuple[LoadedDive, Json]]) -> list[str]:
    """Return a sentence for each pause of the day that repetition makes longer."""
    says = [
        f"After dive {count} of the day at least {ceil(pause['seconds'] / 60)} min: {pause['longer']}."
        for count, (_, pause) in enumerate(taken, 1)
        if pause["longer"]
    ]
    return says or [NOT_LONGER]
