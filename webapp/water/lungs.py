"""Lung volumes: measured or predicted with their spread, at depth, and the depth where they equal residual volume.

That depth is a marker, not a limit: there the chest is as small as after a full exhale.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot

from . import constants as c
from .errors import OutOfRange
from .pressure import Water, absolute_bar, deepest_bar, depth_of_bar
from .ranges import RANGES, check, choose

SEXES = ("man", "woman")
MARKER = (
    "A marker, not a limit: the depth where the gas in the lungs fills only the residual volume. It can be tens of "
    "metres off, because blood shifts into the chest and the volumes are uncertain. It says nothing about how deep is "
    "safe."
)


@dataclass(frozen=True)
class Volume:
    """A volume in litres and one spread (standard deviation) of it in litres."""

    litres: float
    spread_l: float


@dataclass(frozen=True)
class Lungs:
    """Total lung capacity, volume after a passive exhale (FRC) and residual volume, and where they come from."""

    total: Volume
    relaxed: Volume | None
    residual: Volume
    source: str


def predicted_lungs(sex: str, height_cm: float, age_years: float) -> Lungs:
    """Return lungs predicted by equations: "man" or "woman", 140 to 210 cm, 18 to 80 years.

    Errors: OutOfRange. Source: Goldman & Becklake 1959 (page seen; it gives no range of its own). Spread of RV:
    Goldman 1959 (list seen); of the other two: borrowed from Quanjer et al. 1993 (memory). A measured volume is better.
    """
    choose("sex", sex, SEXES)
    inches, years = check("height_cm", height_cm) / c.CM_PER_INCH, check("age_years", age_years)

    def litres(table: Mapping[str, tuple[float, float, float]]) -> float:
        per_inch, per_year, constant = table[sex]
        return per_inch * inches + per_year * years + constant

    residual_l = litres(c.RESIDUAL)
    return Lungs(
        Volume(litres(c.VITAL) + residual_l, c.TOTAL_SPREAD_L[sex]),
        Volume(litres(c.RELAXED), c.RELAXED_SPREAD_L[sex]),
        Volume(residual_l, c.RESIDUAL_SPREAD_SHARE[sex] * residual_l),
        "predicted (Goldman and Becklake 1959): an average of other people, yours may differ by a litre",
    )


def measured_lungs(total_l: float, residual_l: float, relaxed_l: float | None, spread_share: float) -> Lungs:
    """Return the diver's own measured lungs in litres (0.3 to 16); `spread_share` is that of the measurement.

    Errors: OutOfRange, also when the order residual < relaxed < total is broken.
    """
    share = check("spread_share", spread_share, "share")
    volumes = [check("residual_l", residual_l, "lung_l"), check("total_l", total_l, "lung_l")]
    if relaxed_l is not None:
        volumes.insert(1, check("relaxed_l", relaxed_l, "lung_l"))
    if sorted(set(volumes)) != volumes:
        raise OutOfRange("total_l", "must be the largest volume: residual, then relaxed (FRC), then total")
    sized = [Volume(litres, share * litres) for litres in volumes]
    return Lungs(sized[-1], sized[1] if len(sized) == 3 else None, sized[0], "measured")


def volume_at_l(start_l: float, depth_m: float, water: Water, *, dry: bool = False) -> float:
    """Return the litres that a breath of `start_l` (0.3 to 16 L) fills at 0 to 1000 m.

    Boyle's law, body temperature, no gas taken up; `dry` leaves out the water vapour (0.0627 bar): 3 to 6 % smaller.
    Errors: OutOfRange.
    """
    vapour = c.VAPOUR_BAR if dry else 0.0
    return check("start_l", start_l, "lung_l") * (water.surface_bar - vapour) / (absolute_bar(depth_m, water) - vapour)


def residual_markers(lungs: Lungs, packing_l: float, water: Water) -> list[dict[str, object]]:
    """Return where each start reaches residual volume: {start, start_l, depth_m, from_m, to_m, says}.

    Starts: "full", "exhaled" (passive, FRC) when known, "packed" when `packing_l` (0 to 5 L at surface pressure) is not
    0. `from_m` to `to_m` is one spread either way, of both volumes as if independent. Errors: OutOfRange.
    """
    packed = check("packing_l", packing_l)
    starts: list[tuple[str, Volume]] = [("full", lungs.total)]
    if lungs.relaxed is not None:
        starts.append(("exhaled", lungs.relaxed))
    if packed:
        starts.append(("packed", Volume(lungs.total.litres + packed, lungs.total.spread_l)))
    return [_marker(name, start, lungs.residual, water) for name, start in starts]


def _marker(name: str, start: Volume, residual: Volume, water: Water) -> dict[str, object]:
    def depth(start_l: float, residual_l: float) -> float:
        ratio = max(start_l, residual_l) / max(residual_l, RANGES["lung_l"].low)
        return depth_of_bar(min(water.surface_bar * ratio, deepest_bar(water)), water)

    middle = depth(start.litres, residual.litres)
    down = hypot(
        depth(start.litres, residual.litres - residual.spread_l) - middle,
        depth(start.litres + start.spread_l, residual.litres) - middle,
    )
    up = hypot(
        depth(start.litres, residual.litres + residual.spread_l) - middle,
        depth(start.litres - start.spread_l, residual.litres) - middle,
    )
    shallow, deep = max(0.0, middle - up), middle + down
    one_spread = f"{shallow:.0f} to {deep:.0f} m covers about two in three divers"
    return {
        "start": name,
        "start_l": start.litres,
        "depth_m": middle,
        "from_m": shallow,
        "to_m": deep,
        "says": f"about {middle:.0f} m; {one_spread}. {MARKER}",
    }
