"""The constants of the physics, each with unit, meaning, source and how far the source was checked.

Marks: "seen" the text itself was read; "memory" the citation was recalled, not read; "definition" fixed by agreement.
What a diver may change is in the rulebook instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

Values = float | tuple[float, ...]


@dataclass(frozen=True)
class Constant:
    """One published constant, or the coefficients of one polynomial in rising powers."""

    name: str
    value: Values
    unit: str
    meaning: str
    source: str
    mark: str


ATMOSPHERE_BAR: Final = 1.01325
STANDARD_GRAVITY: Final = 9.80665
T68_PER_T90: Final = 1.00024

# Equation of state EOS-80: density at one atmosphere, then the secant bulk modulus; t is IPTS-68, p is gauge bar.
RHO_WATER: Final = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
RHO_S: Final = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
RHO_S15: Final = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
RHO_S2: Final = (4.8314e-4,)
K_WATER: Final = (19652.21, 148.4206, -2.327105, 1.360477e-2, -5.155288e-5)
K_S: Final = (54.6746, -0.603459, 1.09987e-2, -6.1670e-5)
K_S15: Final = (7.944e-2, 1.6483e-2, -5.3009e-4)
A_WATER: Final = (3.239908, 1.43713e-3, 1.16092e-4, -5.77905e-7)
A_S: Final = (2.2838e-3, -1.0981e-5, -1.6078e-6)
A_S15: Final = (1.91075e-4,)
B_WATER: Final = (8.50935e-5, -6.12293e-6, 5.2787e-8)
B_S: Final = (-9.9348e-7, 2.0816e-8, 9.1697e-10)

GRAVITY_EQUATOR: Final = 9.780318
GRAVITY_SIN2: Final = (5.2788e-3, 2.36e-5)
GRAVITY_PER_BAR: Final = 2.184e-5  # 2.184e-6 per dbar
GAUGE_M_PER_BAR: Final = 10.0
AIR_KELVIN: Final = 288.15
AIR_LAPSE_K_M: Final = 0.0065
AIR_EXPONENT: Final = 5.25588

# Litres from height in inches and age in years: (per inch, per year, constant), then one spread.
CM_PER_INCH: Final = 2.54
VITAL: Final = {"man": (0.1626, -0.031, -5.335), "woman": (0.1321, -0.018, -4.360)}
RESIDUAL: Final = {"man": (0.0687, 0.017, -3.447), "woman": (0.0813, 0.009, -3.900)}
RELAXED: Final = {"man": (0.1295, 0.0, -5.19), "woman": (0.1220, 0.0, -5.01)}
RESIDUAL_SPREAD_SHARE: Final = {"man": 0.19, "woman": 0.24}
TOTAL_SPREAD_L: Final = {"man": 0.70, "woman": 0.60}
RELAXED_SPREAD_L: Final = {"man": 0.60, "woman": 0.50}

LEAD_KG_L: Final = 11.34
VAPOUR_BAR: Final = 0.0627
NITROGEN_SHARE: Final = 0.79
HALF_TIMES_MIN: Final = (
    4.0, 8.0, 12.5, 18.5, 27.0, 38.3, 54.3, 77.0, 109.0, 146.0, 187.0, 239.0, 305.0, 390.0, 498.0, 635.0,
)  # fmt: skip
SCALE_A_BAR: Final = (
    1.2599, 1.0000, 0.8618, 0.7562, 0.6200, 0.5043, 0.4410, 0.4000,
    0.3750, 0.3500, 0.3295, 0.3065, 0.2835, 0.2610, 0.2480, 0.2327,
)  # fmt: skip
SCALE_B: Final = (
    0.5050, 0.6514, 0.7222, 0.7825, 0.8126, 0.8434, 0.8693, 0.8910,
    0.9092, 0.9222, 0.9319, 0.9403, 0.9477, 0.9544, 0.9602, 0.9653,
)  # fmt: skip

_UNESCO = "Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44; coefficients and check values seen in public code"
_MILLERO = "Millero & Poisson 1981, Deep-Sea Res. 28A:625-629, as in UNESCO 44; coefficients seen in public code"
_GOLDMAN = "Goldman & Becklake 1959 as given on hopkinsmedicine.org/pftlab/predeqns.html"
_LIST = "Goldman 1959 as listed on respi-gam.net/node/4557"
_QUANJER = "Quanjer et al. 1993, Eur Respir J 6 Suppl 16 (residual SD of another equation; none was found for this one)"
_BUHLMANN = "Bühlmann, Völlm & Nussberger, Tauchmedizin, 5th ed. 2002 (ZH-L16C)"

CONSTANTS: tuple[Constant, ...] = (
    Constant("atmosphere", ATMOSPHERE_BAR, "bar", "Standard air pressure at sea level.", "ISO 2533", "definition"),
    Constant("standard_gravity", STANDARD_GRAVITY, "m/s2", "Turns kgf into N.", "CGPM 1901", "definition"),
    Constant("t68_per_t90", T68_PER_T90, "", "Today's temperature scale to the old one of EOS-80.", _UNESCO, "seen"),
    Constant("eos80_water", RHO_WATER, "kg/m3", "Density of pure water, in powers of temperature.", _MILLERO, "seen"),
    Constant("eos80_salt", RHO_S, "kg/m3", "Density per salinity.", _MILLERO, "seen"),
    Constant("eos80_salt_1.5", RHO_S15, "kg/m3", "Density per salinity to the power 1.5.", _MILLERO, "seen"),
    Constant("eos80_salt_2", RHO_S2, "kg/m3", "Density per salinity squared.", _MILLERO, "seen"),
    Constant("bulk_water", K_WATER, "bar", "Secant bulk modulus of pure water.", _UNESCO, "seen"),
    Constant("bulk_salt", K_S, "bar", "The same per salinity.", _UNESCO, "seen"),
    Constant("bulk_salt_1.5", K_S15, "bar", "The same per salinity to the power 1.5.", _UNESCO, "seen"),
    Constant("bulk_p_water", A_WATER, "", "The same per bar.", _UNESCO, "seen"),
    Constant("bulk_p_salt", A_S, "", "The same per bar and salinity.", _UNESCO, "seen"),
    Constant("bulk_p_salt_1.5", A_S15, "", "The same per bar and salinity to the power 1.5.", _UNESCO, "seen"),
    Constant("bulk_p2_water", B_WATER, "1/bar", "The same per bar squared.", _UNESCO, "seen"),
    Constant("bulk_p2_salt", B_S, "1/bar", "The same per bar squared and salinity.", _UNESCO, "seen"),
    Constant("gravity_equator", GRAVITY_EQUATOR, "m/s2", "Gravity at the equator.", _UNESCO, "seen"),
    Constant("gravity_latitude", GRAVITY_SIN2, "", "Growth with sin2 and sin4 of the latitude.", _UNESCO, "seen"),
    Constant("gravity_depth", GRAVITY_PER_BAR, "m/s2 per bar", "Growth of gravity downwards.", _UNESCO, "seen"),
    Constant(
        "gauge",
        GAUGE_M_PER_BAR,
        "m per bar",
        "What a depth gauge shows for one bar more, as if water weighed 1.0197 kg/L.",
        "EN 13319, as quoted on a test laboratory's page (eurolab.net)",
        "seen",
    ),
    Constant("air_temperature", AIR_KELVIN, "K", "Standard atmosphere at sea level.", "ISO 2533 / ICAO", "seen"),
    Constant("air_lapse", AIR_LAPSE_K_M, "K/m", "Standard atmosphere: colder with height.", "ISO 2533 / ICAO", "seen"),
    Constant("air_exponent", AIR_EXPONENT, "", "Standard atmosphere: g/(R x lapse).", "ISO 2533 / ICAO", "memory"),
    *(
        Constant(f"{name}_{sex}", table[sex], "L", f"{what} from inches, years and a constant, {sex}.", source, "seen")
        for name, what, table, source in (
            ("vital_capacity", "Vital capacity", VITAL, _GOLDMAN),
            ("residual_volume", "Residual volume", RESIDUAL, _GOLDMAN),
            ("relaxed_volume", "Volume after a passive exhale (FRC)", RELAXED, _GOLDMAN + ", after Bates"),
        )
        for sex in ("man", "woman")
    ),
    *(
        Constant(f"{name}_{sex}", table[sex], unit, f"Spread of {what}, {sex}.", source, mark)
        for name, what, table, unit, source, mark in (
            ("residual_spread", "residual volume", RESIDUAL_SPREAD_SHARE, "share", _LIST, "seen"),
            ("total_spread", "total lung capacity", TOTAL_SPREAD_L, "L", _QUANJER, "memory"),
            ("relaxed_spread", "the volume after a passive exhale", RELAXED_SPREAD_L, "L", _QUANJER, "memory"),
        )
        for sex in ("man", "woman")
    ),
    Constant("lead", LEAD_KG_L, "kg/L", "Density of lead.", "handbook value", "memory"),
    Constant(
        "vapour",
        VAPOUR_BAR,
        "bar",
        "Water vapour in the lungs at 37 degrees C.",
        "Bühlmann's alveolar pressure, as given in an encyclopedia article",
        "seen",
    ),
    Constant("nitrogen", NITROGEN_SHARE, "share", "Nitrogen and argon in dry air, rounded.", "common use", "seen"),
    Constant("half_times", HALF_TIMES_MIN, "min", "Half-times of 16 compartments for nitrogen.", _BUHLMANN, "memory"),
    Constant(
        "scale_a",
        SCALE_A_BAR,
        "bar",
        "Weight of a compartment when plans are ranked; never used as a limit.",
        _BUHLMANN,
        "memory",
    ),
    Constant("scale_b", SCALE_B, "", "The same, second part.", _BUHLMANN, "memory"),
)
