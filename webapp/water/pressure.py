"""Pressure at depth: the equation of state EOS-80 and gravity by latitude, integrated downwards, and the inverse.

One temperature and one salinity for the whole column. Pressures are absolute bar unless the name says gauge.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import pow as power
from math import radians, sin

from . import constants as c
from .errors import OutOfRange
from .ranges import RANGES, check, choose

SALINITY = {"salt": 35.0, "fresh": 0.0}  # standard seawater, and none
KINDS = tuple(SALINITY)


@dataclass(frozen=True)
class Water:
    """A water column: practical salinity, °C (ITS-90), degrees of latitude, absolute bar at its surface."""

    salinity: float
    temperature_c: float
    latitude: float
    surface_bar: float = c.ATMOSPHERE_BAR

    def __post_init__(self) -> None:
        for field in ("salinity", "temperature_c", "latitude", "surface_bar"):
            check(field, getattr(self, field))


def named_water(kind: str, temperature_c: float, latitude: float, altitude_m: float = 0.0) -> Water:
    """Return a water column of a named kind, "salt" (35) or "fresh" (0), at a height in m above the sea.

    Ranges: see `ranges`; errors: OutOfRange.
    """
    salinity = SALINITY[choose("water", kind, KINDS)]
    return Water(salinity, temperature_c, latitude, surface_bar(altitude_m))


def surface_bar(altitude_m: float) -> float:
    """Return the standard air pressure in bar at a height of -450 to 6500 m above the sea.

    Weather moves it by about 3 %. Errors: OutOfRange. Source: ICAO standard atmosphere.
    """
    height = check("altitude_m", altitude_m)
    return c.ATMOSPHERE_BAR * power(1 - c.AIR_LAPSE_K_M * height / c.AIR_KELVIN, c.AIR_EXPONENT)


def density_kg_m3(water: Water, gauge_bar: float = 0.0) -> float:
    """Return the density in kg/m3 at a gauge pressure of 0 to 1000 bar.

    Errors: OutOfRange. Source: EOS-80, Millero & Poisson 1981, Fofonoff & Millard 1983.
    """
    return _column(water)[0](check("gauge_bar", gauge_bar, "sea_bar"))


def gravity_m_s2(latitude: float, gauge_bar: float = 0.0) -> float:
    """Return gravity in m/s2 at a latitude of -90 to 90 degrees and a gauge pressure of 0 to 1000 bar.

    Errors: OutOfRange. Source: Fofonoff & Millard 1983.
    """
    x = sin(radians(check("latitude", latitude))) ** 2
    at_surface = c.GRAVITY_EQUATOR * (1 + (c.GRAVITY_SIN2[0] + c.GRAVITY_SIN2[1] * x) * x)
    return at_surface + c.GRAVITY_PER_BAR * check("gauge_bar", gauge_bar, "sea_bar")


def gauge_bar(depth_m: float, water: Water) -> float:
    """Return the pressure in bar above that at the surface, at a depth of 0 to 1000 m.

    Errors: OutOfRange. Source: EOS-80 and gravity, integrated; within 0.05 % of TEOS-10.
    """
    return _gauge_at(check("depth_m", depth_m), water)


@lru_cache(maxsize=4096)
def _gauge_at(depth_m: float, water: Water) -> float:
    """Cache the result: the rungs of several ladders and the marks of each card are at the same depths."""
    return _gauge(_column(water)[1], depth_m)


def absolute_bar(depth_m: float, water: Water) -> float:
    """Return the absolute pressure in bar at a depth of 0 to 1000 m; errors and source as `gauge_bar`."""
    return water.surface_bar + gauge_bar(depth_m, water)


def depth_of_gauge_bar(gauge: float, water: Water) -> float:
    """Return the depth in m where the pressure above the surface's is this many bar, 0 to 105.

    Errors: OutOfRange. Source: the inverse integral, Simpson's rule (exact here to less than 1 mm).
    """
    p = check("gauge_bar", gauge)
    slope = _column(water)[1]
    return p / 6 * (1 / slope(0.0) + 4 / slope(p / 2) + 1 / slope(p))


def depth_of_bar(bar: float, water: Water) -> float:
    """Return the depth in m of an absolute pressure in bar; errors: OutOfRange, also above the surface."""
    if check("bar", bar) < water.surface_bar:
        raise OutOfRange("bar", f"must be at least the {water.surface_bar:.3f} bar of the surface, not {bar:g}")
    return depth_of_gauge_bar(bar - water.surface_bar, water)


def deepest_bar(water: Water) -> float:
    """Return the absolute pressure in bar at the deepest depth that is accepted."""
    return absolute_bar(RANGES["depth_m"].high, water)


def pressure_table(to_m: float, step_m: float, water: Water) -> tuple[float, ...]:
    """Return the absolute pressures in bar at 0, step, 2 steps ... down to the last one not deeper than `to_m`.

    Ranges: 0 to 1000 m, step 0.1 to 100 m; errors: OutOfRange.
    """
    count = int(check("to_m", to_m, "depth_m") / check("step_m", step_m) + 1e-9)
    slope = _column(water)[1]
    return tuple(water.surface_bar + _gauge(slope, index * step_m) for index in range(count + 1))


def gauge_shows_m(depth_m: float, water: Water) -> float:
    """Return what a depth gauge of fixed density shows at this many metres of rope, 0 to 1000 m.

    Errors: OutOfRange. Source: EN 13319, 10 m for each bar.
    """
    return c.GAUGE_M_PER_BAR * gauge_bar(depth_m, water)


def rope_for_gauge_m(shown_m: float, water: Water) -> float:
    """Return the rope metres at which a depth gauge shows this many; the inverse of `gauge_shows_m`."""
    return depth_of_gauge_bar(check("shown_m", shown_m, "depth_m") / c.GAUGE_M_PER_BAR, water)


def _gauge(slope: Callable[[float], float], depth_m: float) -> float:
    """Integrate dp/dz = slope(p) with one Runge-Kutta step: the slope changes by 0.5 % in 1000 m."""
    k1 = slope(0.0)
    k2 = slope(depth_m * k1 / 2)
    k3 = slope(depth_m * k2 / 2)
    k4 = slope(depth_m * k3)
    return depth_m * (k1 + 2 * k2 + 2 * k3 + k4) / 6


@lru_cache(maxsize=64)
def _column(water: Water) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """Return density(p) in kg/m3 and its slope dp/dz(p) in bar/m, p in gauge bar, with all powers calculated once."""
    s, t = water.salinity, water.temperature_c * c.T68_PER_T90
    s15 = power(s, 1.5)

    def mixed(pure: tuple[float, ...], per_s: tuple[float, ...], per_s15: tuple[float, ...] = ()) -> float:
        return _poly(pure, t) + s * _poly(per_s, t) + s15 * _poly(per_s15, t)

    rho0 = mixed(c.RHO_WATER, c.RHO_S, c.RHO_S15) + s * s * _poly(c.RHO_S2, t)
    k0, a, b = mixed(c.K_WATER, c.K_S, c.K_S15), mixed(c.A_WATER, c.A_S, c.A_S15), mixed(c.B_WATER, c.B_S)
    gravity, more = gravity_m_s2(water.latitude) / 1e5, c.GRAVITY_PER_BAR / 1e5

    def density(p: float) -> float:
        return rho0 / (1 - p / (k0 + (a + b * p) * p))

    def slope(p: float) -> float:
        return rho0 / (1 - p / (k0 + (a + b * p) * p)) * (gravity + more * p)

    return density, slope


def _poly(coefficients: tuple[float, ...], x: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total
