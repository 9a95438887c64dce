"""Buoyancy and lead: body, suit and lungs against the water; up is positive, kgf throughout.

An estimate to start from: only a test at the line counts. A heavy diver falls easily and is hard to bring up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pow as power

from . import constants as c
from .pressure import Water, absolute_bar, deepest_bar, density_kg_m3, depth_of_bar
from .ranges import check

_HALVINGS = 60  # narrows any bracket to the last digit of a float


@dataclass(frozen=True)
class Diver:
    """Body and suit, volumes in litres at surface pressure, masses in kg.

    `body_density` is without gas (kg/L); `suit_gas_share` is the part of the suit's volume that is gas;
    `suit_stiffness` is 1 for a suit as soft as gas, less for a stiff one. Errors: OutOfRange.
    """

    body_kg: float
    body_density: float
    lungs_l: float
    gut_l: float
    suit_l: float
    suit_kg: float
    suit_gas_share: float
    suit_stiffness: float

    def __post_init__(self) -> None:
        kinds = {"lungs_l": "lung_l", "suit_gas_share": "share"}
        for field in self.__dataclass_fields__:
            check(field, getattr(self, field), kinds.get(field))


@dataclass(frozen=True)
class Answer:
    """A number, or None if there is none, and the words for it."""

    value: float | None
    says: str


def net_kgf(diver: Diver, lead_kg: float, density: float, pressure_ratio: float) -> float:
    """Return the net force in kgf, up positive; density in kg/m3, ratio = surface pressure / pressure at depth.

    Ranges: lead 0 to 30 kg, density 950 to 1100, ratio 0.003 to 1; errors: OutOfRange. Source: Archimedes and Boyle.
    """
    lead = check("lead_kg", lead_kg)
    rho = check("density_kg_m3", density) / 1000
    return _without_lead(diver, rho, check("pressure_ratio", pressure_ratio)) - lead * (1 - rho / c.LEAD_KG_L)


def buoyancy_kgf(diver: Diver, lead_kg: float, depth_m: float, water: Water) -> float:
    """Return the net force in kgf at 0 to 1000 m, up positive; the water's density is that of its surface."""
    return net_kgf(diver, lead_kg, density_kg_m3(water), water.surface_bar / absolute_bar(depth_m, water))


def neutral_depth_m(diver: Diver, lead_kg: float, water: Water) -> Answer:
    """Return the depth in m where the diver neither sinks nor rises; None if there is no such depth.

    Errors: OutOfRange. Source: as `net_kgf`.
    """
    return _depth_of(diver, lead_kg, 0.0, water, "neutral at")


def free_fall_depth_m(diver: Diver, lead_kg: float, fall_m_s: float, drag: float, water: Water) -> Answer:
    """Return the depth in m below which the diver sinks at `fall_m_s` or faster without swimming.

    Ranges: fall 0.05 to 4 m/s, drag 5 to 200 N per (m/s)2; errors: OutOfRange. Source: weight equals drag.
    """
    speed = check("fall_m_s", fall_m_s, "speed_m_s")
    wanted = -check("drag", drag) * speed**2 / c.STANDARD_GRAVITY
    return _depth_of(diver, lead_kg, wanted, water, f"falls at {speed:g} m/s from")


def lead_for_neutral_kg(diver: Diver, depth_m: float, water: Water) -> Answer:
    """Return the lead in kg for a wanted neutral depth of 0 to 1000 m; "not possible" instead of a negative weight.

    Errors: OutOfRange. Source: as `net_kgf`.
    """
    rho = density_kg_m3(water) / 1000
    ratio = water.surface_bar / absolute_bar(depth_m, water)
    lead = _without_lead(diver, rho, ratio) / (1 - rho / c.LEAD_KG_L)
    if lead < 0:
        return Answer(None, f"not possible: without any lead this diver is already heavy at {depth_m:g} m")
    return Answer(lead, f"about {lead:.1f} kg to be neutral at {depth_m:g} m: an estimate, test it at the line")


def lead_change_kg(diver: Diver, depth_m: float, old: Water, new: Water) -> Answer:
    """Return the lead in kg to add (negative: take off) to keep the neutral depth in other water."""
    before, after = lead_for_neutral_kg(diver, depth_m, old), lead_for_neutral_kg(diver, depth_m, new)
    if before.value is None or after.value is None:
        return Answer(None, (after if after.value is None else before).says)
    change = after.value - before.value
    word = "more" if change >= 0 else "less"
    return Answer(change, f"about {abs(change):.1f} kg {word} than before: an estimate, test it at the line")


def _without_lead(diver: Diver, rho: float, ratio: float) -> float:
    suit = diver.suit_l * (1 - diver.suit_gas_share + diver.suit_gas_share * power(ratio, diver.suit_stiffness))
    litres = diver.body_kg / diver.body_density + (diver.lungs_l + diver.gut_l) * ratio + suit
    return rho * litres - diver.body_kg - diver.suit_kg


def _depth_of(diver: Diver, lead_kg: float, wanted: float, water: Water, words: str) -> Answer:
    """Find the depth where the net force has fallen to `wanted`: a diver gets heavier with depth."""
    density = density_kg_m3(water)

    def excess(bar: float) -> float:
        return net_kgf(diver, lead_kg, density, water.surface_bar / bar) - wanted

    top, bottom = water.surface_bar, deepest_bar(water)
    if excess(top) < 0:
        return Answer(None, "none, already too heavy at the surface: take lead off")
    if excess(bottom) > 0:
        return Answer(None, "none, too light at any depth")
    depth = depth_of_bar(_zero_of(excess, top, bottom), water)
    return Answer(depth, f"{words} about {depth:.0f} m: an estimate, test it at the line")


def _zero_of(falling: Callable[[float], float], low: float, high: float) -> float:
    """Return where a falling function crosses zero between two ends."""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if falling(middle) > 0 else (low, middle)
    return (low + high) / 2
