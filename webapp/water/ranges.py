"""What the functions accept: wide enough for any diver, narrow enough to catch a typing error or a wrong unit."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from .errors import OutOfRange


@dataclass(frozen=True)
class Range:
    """The lowest and the highest value that are accepted."""

    low: float
    high: float
    unit: str
    meaning: str

    def words(self) -> str:
        """Return the range as people read it: `0 to 1000 m`."""
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()


RANGES: dict[str, Range] = {
    "depth_m": Range(0, 1000, "m", "depth; the formulas were checked against published rows down to here"),
    "salinity": Range(0, 42, "g/kg", "practical salinity; the range of the equation of state"),
    "temperature_c": Range(-2, 40, "degrees C", "water temperature; the range of the equation of state"),
    "latitude": Range(-90, 90, "degrees", "latitude, south negative"),
    "altitude_m": Range(-450, 6500, "m", "height of the water's surface above the sea"),
    "surface_bar": Range(0.4, 1.1, "bar", "air pressure at the surface"),
    "bar": Range(0.4, 110, "bar", "absolute pressure"),
    "gauge_bar": Range(0, 105, "bar", "pressure above that at the surface"),
    "sea_bar": Range(0, 1000, "bar", "pressure above that at the surface; the range of the equation of state"),
    "bottom_m": Range(0.5, 11_000, "m", "depth of the bottom"),
    "step_m": Range(0.1, 100, "m", "step of a table of depths"),
    "height_cm": Range(140, 210, "cm", "height of an adult"),
    "age_years": Range(18, 80, "years", "age of an adult"),
    "lung_l": Range(0.3, 16, "L", "a volume of gas in the lungs"),
    "packing_l": Range(0, 5, "L", "gas packed on top of a full breath, at surface pressure"),
    "share": Range(0, 1, "", "a share of one"),
    "body_kg": Range(30, 200, "kg", "mass of the body"),
    "body_density": Range(0.95, 1.15, "kg/L", "density of the body without gas"),
    "gut_l": Range(0, 2, "L", "gas in the gut at the surface"),
    "suit_l": Range(0, 25, "L", "volume of the suit at the surface"),
    "suit_kg": Range(0, 15, "kg", "mass of the suit"),
    "suit_stiffness": Range(0.1, 1, "", "exponent of the suit's compression; 1 is as soft as gas"),
    "lead_kg": Range(0, 30, "kg", "lead"),
    "density_kg_m3": Range(950, 1100, "kg/m3", "density of the water"),
    "pressure_ratio": Range(0.003, 1, "", "surface pressure divided by pressure at depth"),
    "drag": Range(5, 200, "N per (m/s)2", "drag of a streamlined diver"),
    "speed_m_s": Range(0.05, 4, "m/s", "speed along the line"),
    "seconds": Range(0, 86_400, "s", "a time within a day"),
    "volume_ml": Range(0, 2000, "mL", "a small volume of gas"),
    "times": Range(0, 50, "", "a factor"),
    "count": Range(0, 1000, "", "a count"),
}


def check(field: str, value: object, kind: str | None = None) -> float:
    """Return the value as a float if it lies in the range of its kind (the field's own name when none is given).

    Raises OutOfRange for anything that is not a finite number, and for a number outside.
    """
    allowed = RANGES[kind or field]
    if (type(value) is float or type(value) is int) and allowed.low <= value <= allowed.high:
        return float(value)  # nearly always: a plan asks some thousand times
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise OutOfRange(field, f"must be a number, {allowed.words()}")
    if not (allowed.low <= value <= allowed.high):  # an int too large for a float still compares
        shown = f"{float(value):g}" if abs(value) < 1e300 and isfinite(value) else str(value)[:12]
        raise OutOfRange(field, f"must be {allowed.words()}, not {shown}")
    return float(value)


def choose(field: str, value: object, choices: tuple[str, ...]) -> str:
    """Return the value if it is one of the words; raises OutOfRange with the words."""
    if not isinstance(value, str) or value not in choices:
        raise OutOfRange(field, "must be one of: " + ", ".join(choices))
    return value
