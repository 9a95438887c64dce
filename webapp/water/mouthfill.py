"""Equalising gas: what the middle ear needs, and how deep one mouthful can reach at best."""

from __future__ import annotations

from .pressure import Water, absolute_bar, deepest_bar, depth_of_bar
from .ranges import RANGES, check

BOUND = (
    "An upper bound by Boyle's law, as if no gas were swallowed, lost or let back into the lungs. Real divers lose a "
    "large share of a charge. Turn at the first equalisation that fails; never force."
)


def equalise_ml(cavity_ml: float, from_m: float, to_m: float, water: Water) -> float:
    """Return the gas in mL, measured at `to_m`, that a rigid cavity of 0 to 2000 mL takes between two depths.

    Negative on the way up. Errors: OutOfRange. Source: Boyle's law.
    """
    end = absolute_bar(to_m, water)
    return check("cavity_ml", cavity_ml, "volume_ml") * (end - absolute_bar(from_m, water)) / end


def left_ml(charge_ml: float, charge_m: float, cavity_ml: float, depth_m: float, water: Water) -> float:
    """Return the mL that are left in the mouth at a depth; 0 if the charge is used up before it.

    Ranges: volumes 0 to 2000 mL, depths 0 to 1000 m; errors: OutOfRange. Source: Boyle's law.
    """
    charge = check("charge_ml", charge_ml, "volume_ml")
    shrunk = charge * absolute_bar(charge_m, water) / absolute_bar(depth_m, water)
    return max(0.0, shrunk - equalise_ml(cavity_ml, charge_m, depth_m, water))


def reach_m(charge_ml: float, charge_m: float, cavity_ml: float, least_ml: float, water: Water) -> float:
    """Return the deepest depth in m at which `least_ml` would still be in the mouth: an upper bound.

    Never more than the 1000 m of the formulas; the charge's own depth if the charge is no more than `least_ml`.
    Errors: OutOfRange. Source: P2 = P1 (V1 + Vc) / (Vmin + Vc), from Boyle's law.
    """
    charge, cavity = check("charge_ml", charge_ml, "volume_ml"), check("cavity_ml", cavity_ml, "volume_ml")
    least = check("least_ml", least_ml, "volume_ml")
    start = absolute_bar(charge_m, water)
    if charge <= least:
        return float(charge_m)
    if least + cavity == 0:
        return RANGES["depth_m"].high
    return depth_of_bar(min(start * (charge + cavity) / (least + cavity), deepest_bar(water)), water)


def for_target(
    target_m: float, charge_ml: float, charge_m: float, cavity_ml: float, least_ml: float, water: Water
) -> dict[str, object]:
    """Return what is left of a charge at a target at best, and the later or larger charge needed if it is too little.

    Keys: reaches, reach_m, left_ml, larger_ml and later_m (None when it reaches, or when no such charge exists), says.
    Errors: OutOfRange. Source: as `reach_m`.
    """
    deepest = reach_m(charge_ml, charge_m, cavity_ml, least_ml, water)
    target = absolute_bar(check("target_m", target_m, "depth_m"), water)
    left = left_ml(charge_ml, charge_m, cavity_ml, max(target_m, charge_m), water)
    left_words = f"{left:.0f} mL left at {max(target_m, charge_m):g} m if no gas is lost"
    answer: dict[str, object] = {
        "reaches": deepest >= target_m,
        "reach_m": deepest,
        "left_ml": left,
        "larger_ml": None,
        "later_m": None,
    }
    if deepest >= target_m:
        return {**answer, "says": f"{left_words}. Best-case limit: {deepest:.0f} m. {BOUND}"}
    larger = target * (least_ml + cavity_ml) / absolute_bar(charge_m, water) - cavity_ml
    later = None
    if charge_ml > least_ml:
        later = depth_of_bar(target * (least_ml + cavity_ml) / (charge_ml + cavity_ml), water)
    asked = f"{larger:.0f} mL at {charge_m:g} m" + (f", or this charge at {later:.0f} m" if later is not None else "")
    needed = f"too little, {least_ml:g} mL are needed. {target_m:g} m would take {asked}"
    says = f"{left_words}: {needed}. Best-case limit: {deepest:.0f} m. {BOUND}"
    return {**answer, "larger_ml": larger, "later_m": later, "says": says}
