"""Invented boats: people with their limits and pauses, the dives they plan, official times, pinned places."""

from __future__ import annotations

import random
from typing import Any

from webapp.rulebook_file import read_rulebook
from webapp.web.words import CREW_NUMBERS

Json = dict[str, Any]
LIMITS: Json = {name: read_rulebook().value(name) for name in CREW_NUMBERS}
NAMES = ("Ana", "Bo", "Cleo", "Dov", "Emi", "Finn", "Gia", "Hal")
NINE = 9 * 120  # o'clock, in half minutes


def boat_of(seed: int, most_dives: int = 7, least_dives: int = 1) -> Json:
    """Return the invented boat of this number: 2 to 8 people, so many dives, the same in each run."""
    chance = random.Random(seed)
    people = [_person(chance, place) for place in range(chance.randint(2, 8))]
    count = max(chance.randint(least_dives, most_dives) for _ in range(2))  # more of the longer lists
    depths = [chance.randrange(20, 160) / 2 for _ in range(chance.randint(1, count))]  # some dives share one
    dives = [_dive(chance, place, chance.choice(people), chance.choice(depths)) for place in range(count)]
    line: Json = {"depth_m": chance.choice([None, 20, *depths])}
    if chance.random() < 0.5:
        line["free_from"] = NINE - chance.randrange(0, 20)
    boat: Json = {"at": NINE, "line": line, "people": people, "dives": dives, "running": None}
    _hand(chance, boat)
    return boat


def _person(chance: random.Random, place: int) -> Json:
    person: Json = {
        "id": f"{NAMES[place]}-{chance.randrange(100)}",
        "name": NAMES[place],
        "may_meet_m": chance.choice([None, 10, 12.5, 15, 15, 15, 20, 30]),
        "ready": chance.random() < 0.95,
        "free_from": NINE + chance.choice([-60, 0, 0, 10, 31]),
        "rested_from": NINE + chance.choice([-60, 0, 0, 12, 25]),
        "safety_count": chance.choice([0, 0, 0, 1, 2]),
        "day_over": chance.random() < 0.04,
    }
    if chance.random() < 0.2:
        person["deep_from"] = person["free_from"] + chance.randrange(0, 30)
    return person


def _dive(chance: random.Random, place: int, person: Json, depth_m: float) -> Json:
    return {
        "id": f"dive-{chance.randrange(100)}-{place}",
        "person": person["id"],
        "depth_m": depth_m,
        "half_minutes": 1 + round(depth_m / 15) + chance.randrange(0, 3),
        "pause": 6 + round(depth_m / 2.5),
        "deep": chance.choice([True, True, False, False, None]),
        "fixed_at": None,
        "pinned": None,
        "safety": None,
    }


def _hand(chance: random.Random, boat: Json) -> None:
    """What people set by hand: official times, places, safety divers; and a dive that runs."""
    dives, ids = boat["dives"], [person["id"] for person in boat["people"]]
    for dive in dives:
        if chance.random() < 0.08:
            dive["fixed_at"] = NINE + chance.randrange(0, 200)
        if chance.random() < 0.06:
            dive["pinned"] = chance.randint(1, len(dives))
        if chance.random() < 0.08:
            dive["safety"] = [name for name in chance.sample(ids, chance.randint(1, 2)) if name != dive["person"]]
    if chance.random() < 0.2:
        now = chance.choice(dives)
        helpers = [name for name in ids if name != now["person"]]
        boat["running"] = {"dive": now["id"], "began": NINE - chance.randrange(0, 8), "safety": helpers[:1]}


def warm_boat(seed: int, most_dives: int = 7) -> Json:
    """Return a boat of at least 3 dives, on which each that is neither deep nor a drill is a warm-up."""
    boat = boat_of(seed, most_dives, 3)
    for dive in boat["dives"]:
        dive["warm_up"] = dive["deep"] is None
    return boat


def bound_boat(seed: int) -> Json:
    """Return a boat of up to 6 dives, most of them with an official time or a pinned place: not all can be kept."""
    chance, boat = random.Random(-seed), boat_of(seed, 6, 3)
    for dive in boat["dives"]:
        kind = chance.random()
        dive["fixed_at"] = NINE + chance.randrange(0, 120) if kind < 0.5 else None
        dive["pinned"] = chance.randint(1, len(boat["dives"])) if kind > 0.4 else None
    return boat


def plain_boat(seed: int, dives: int, people: int) -> Json:
    """Return a boat on which everybody is ready, with so many dives and nothing set by hand."""
    chance = random.Random(seed)
    crew = [{**_person(chance, place), "ready": True, "day_over": False} for place in range(people)]
    for person in crew[:4]:
        person["may_meet_m"] = 15
    depths = [chance.randrange(4, 15) * 5 for _ in range(max(2, dives * 2 // 3))]
    planned = [_dive(chance, place, crew[place % people], chance.choice(depths)) for place in range(dives)]
    return {"at": NINE, "line": {"depth_m": 30}, "people": crew, "dives": planned, "running": None}


def shuffled(boat: Json, seed: int) -> Json:
    """Return the same boat with its people and dives in another sequence."""
    chance = random.Random(seed)
    lists = {name: chance.sample(boat[name], len(boat[name])) for name in ("people", "dives")}
    return {**boat, **lists}
