"""Equalising gas: what the middle ear needs, and how far one mouthful can reach at the very best."""

from __future__ import annotations

from .pressure import Water, absolute_bar, deepest_bar, depth_of_bar
from .ranges import RANGES, check

BOUND = (
    "An upper bound by Boyle's law: nothing swallowed, lost or let back. Real divers lose a large share of a charge. "
    "Turn at the first equalisation that does not go; never force."
)


def equalise_ml(cavity_ml: float, from_m: float, to_m: float, water: Water) -> float:
    """Return the gas in mL, measured at `to_m`, that a rigid cavity of 0 to 2000 mL takes between two depths.

    Negative on the way up. Errors: OutOfRange. Source: Boyle's law.
    """
    end = absolute_bar(to_m, water)
    return check("cavity_ml", cavity_ml, "volume_ml") * (end - absolute_bar(from_m, water)) / end


def left_ml(charge_ml: float, charge_m: float, cavity_ml: float, depth_m: float, water: Water) -> float:
    """Return the mL that are left in the mouth at a depth; 0 when the charge was used up before.

    Ranges: volumes 0 to 2000 mL, depths 0 to 1000 m; errors: OutOfRange. Source: Boyle's law.
    """
    charge, cavity = check("charge_ml", charge_ml, "volume_ml"), check("cavity_ml", cavity_ml, "volume_ml")
    start, end = absolute_bar(charge_m, water), absolute_bar(depth_m, water)
    return max(0.0, (charge * start - cavity * (end - start)) / end)


def reach_m(charge_ml: float, charge_m: float, cavity_ml: float, least_ml: float, water: Water) -> float:
    """Return the deepest depth in m at which `least_ml` would still be in the mouth: an upper bound.

    Never more than the 1000 m of the formulas; the charge's depth when it holds no more than `least_ml`.
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
    """Return whether a charge could reach a target at best, and the later or larger charge that it would take.

    Keys: reaches, reach_m, left_ml, larger_ml and later_m (None when it reaches, or when no such charge exists), says.
    Errors: OutOfRange. Source: as `reach_m`.
    """
    deepest = reach_m(charge_ml, charge_m, cavity_ml, least_ml, water)
    target = absolute_bar(check("target_m", target_m, "depth_m"), water)
    answer: dict[str, object] = {
        "reaches": deepest >= target_m,
        "reach_m": deepest,
        "left_ml": left_ml(charge_ml, charge_m, cavity_ml, max(target_m, charge_m), water),
        "larger_ml": None,
        "later_m": None,
    }
    if deepest >= target_m:
        return {**answer, "says": f"At best this charge reaches {deepest:.0f} m. {BOUND}"}
    larger = target * (least_ml + cavity_ml) / absolute_bar(charge_m, water) - cavity_ml
    later = None
    if charge_ml > least_ml:
        later = depth_of_bar(target * (least_ml + cavity_ml) / (charge_ml + cavity_ml), water)
    asked = f"{larger:.0f} mL at {charge_m:g} m" + (f", or this charge at {later:.0f} m" if later is not None else "")
    says = f"Even at best this charge ends at {deepest:.0f} m; {target_m:g} m would take {asked}. {BOUND}"
    return {**answer, "larger_ml": larger, "later_m": later, "says": says}
