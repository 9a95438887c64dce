"""The frozen values of the trade: what a season is made of."""

from __future__ import annotations

from dataclasses import dataclass

from ..rulebook.rulebook import Rulebook

DISCIPLINES = ("CWT", "CWTB", "CNF", "FIM", "VWT")
ROLES = ("warm-up", "deep", "drill")
GOALS = ("floor_m", "aim_m", "dream_m")


@dataclass(frozen=True)
class Site:
    """Where the season takes place; depths in metres, latitude in degrees, temperature in °C."""

    name: str
    bottom_m: float
    water: str
    latitude: float
    temperature_c: float
    altitude_m: float
    salinity: float | None = None


@dataclass(frozen=True)
class Level:
    """Where a diver stands in one discipline, and their goals; dates ISO, depths in metres."""

    discipline: str
    best_m: float
    comfortable_m: float | None
    comfortable_on: str | None
    start_m: float | None
    step_m: float
    repeats: int  # clean dives that a rung needs from the best on
    repeats_below_best: int
    goals: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Drill:
    """Technique dives of a dive day: to a depth in metres, or to a share of the comfortable depth of the discipline."""

    discipline: str
    dives: int
    depth_m: float | None = None
    share: float | None = None
    focus: str = ""


@dataclass(frozen=True)
class Block:
    """A run of days with one main discipline and one rhythm; dates ISO and inclusive."""

    first_day: str
    last_day: str
    main: str
    days_on: int
    days_off: int
    drills: tuple[Drill, ...]


@dataclass(frozen=True)
class Diver:
    """Body, suit and lungs; None where the diver filled nothing in. Litres at the surface, kg, cm."""

    sex: str | None = None
    height_cm: float | None = None
    age_years: float | None = None
    total_l: float | None = None
    residual_l: float | None = None
    relaxed_l: float | None = None
    packing_l: float | None = None
    body_kg: float | None = None
    body_density: float | None = None
    suit_l: float | None = None
    suit_kg: float | None = None
    lead_kg: float | None = None
    mouthfill: bool = False
    alarms_m: tuple[float, ...] = ()


@dataclass(frozen=True)
class Season:
    """A checked season as it is from one day on; dates ISO and inclusive.

    `edition` is that of the rulebook with which the season was made.
    """

    first_day: str
    last_day: str
    blocks: tuple[Block, ...]
    closed_days: frozenset[str]
    site: Site
    levels: tuple[Level, ...]
    diver: Diver
    edition: int
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Change:
    """What the season is from this day on, with its own rules, and why; the days before keep what was planned."""

    from_day: str
    why: str
    season: Season
    rules: Rulebook
