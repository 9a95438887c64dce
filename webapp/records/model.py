"""The frozen values of the trade: what a season is made of."""

from __future__ import annotations

from dataclasses import dataclass

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
    repeats: int
    goals: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Drill:
    """The technique dives of a dive day."""

    discipline: str
    depth_m: float
    dives: int


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
    """A checked season; dates ISO and inclusive."""

    first_day: str
    last_day: str
    days_on: int
    days_off: int
    block_days: int
    break_days: int
    closed_days: frozenset[str]
    site: Site
    levels: tuple[Level, ...]
    lead: tuple[str, ...]
    drill: Drill | None
    diver: Diver
