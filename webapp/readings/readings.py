"""What the physics means for one diver: numbers and sentences for the page, whatever was filled in.

Nothing here is a limit, permission to dive or a prediction of how a dive goes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ..planner.cards import Speeds, lungs_of, speeds_of, water_of
from ..records.model import Diver, Season
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from ..water.constants import CONSTANTS, Values
from ..water.lungs import MARKER, Lungs, residual_markers, volume_at_l
from ..water.mouthfill import BOUND, for_target
from ..water.pressure import Water, absolute_bar, gauge_shows_m
from .lead import lead_part
from .load import load_part
from .parts import Json, Target, depths_m, for_each, guarded, missing, part, table

STARTS = {"full": "a full breath", "exhaled": "a passive exhale", "packed": "a packed breath"}
MARKS = {
    "seen": "the text itself was read",
    "memory": "the source was cited from memory, its text was not read",
    "definition": "fixed by international agreement",
}
WEATHER = "The weather changes the air pressure by a few percent. One temperature is used for the whole water column."
COACH = (
    "Packing, and dives after an exhale, only with a coach present: after an exhale the chest is as small already at a "
    "third to a half of the depth."
)
OWN_SPEED = "An expected time is for the safety diver and the line keeper. It is never a time to aim for."


def readings_of(season: Season, book: Rulebook, speeds: Speeds | None, targets: Sequence[Target]) -> dict[str, Json]:
    """Return the parts by name, each as `parts.part` makes it; the first target is that of the next deep day.

    `book` includes the season's own rules. Never raises for what was not filled in, nor for a target out of range: a
    sentence says what is missing, or gives the range.
    """
    speeds = speeds or speeds_of((), book)
    return {
        "pressure": guarded("Pressure", lambda title: _pressure(title, season, book)),
        "lungs": guarded("Lungs", lambda title: _lungs(title, season, book, targets)),
        "buoyancy": guarded("Buoyancy and lead", lambda title: lead_part(title, season, book)),
        "speeds": guarded("Speeds", lambda title: _speeds(title, season, speeds)),
        "mouthfill": guarded("Mouthfill", lambda title: _mouthfill(title, season, book, targets)),
        "repetition": guarded("Several dives a day", lambda title: load_part(title, season, book, speeds, targets)),
    }


def targets_of(season: Season, coming: Mapping[str, Any] | None) -> list[Target]:
    """Return the depths to read out, each once: the plan's next deep target, then the goals, else the bests."""
    depths: list[Target] = [] if coming is None else [(coming["discipline"], coming["target_m"])]
    depths += [(level.discipline, depth_m) for level in season.levels for _, depth_m in level.goals]
    return list(dict.fromkeys(depths)) or [(level.discipline, level.best_m) for level in season.levels]


def constants() -> list[Json]:
    """Return the constants of the physics as text: {name, value, unit, meaning, source, mark}."""
    return [
        {**asdict(constant), "name": constant.name.replace("_", " "), "value": _written(constant.value)}
        for constant in CONSTANTS
    ]


def _written(value: Values) -> str:
    return ", ".join(f"{number:.9g}" for number in (value if isinstance(value, tuple) else (value,)))


def _pressure(title: str, season: Season, book: Rulebook) -> Json:
    site, water, depths = season.site, water_of(season.site), depths_m(season, book)
    rows = [(depth, absolute_bar(depth, water), gauge_shows_m(depth, water)) for depth in depths]
    deepest_m, _, shown_m = rows[-1]
    says = [
        f"Calculated for {site.water} water ({show(water.salinity)} g/kg) of {show(site.temperature_c)} °C at "
        f"{show(site.latitude)} degrees latitude, with {water.surface_bar:.3f} bar of air pressure at the surface.",
        f"A depth gauge assumes one fixed density: at {show(deepest_m)} m of rope it shows {shown_m:.1f} m.",
        WEATHER,
    ]
    written = [(show(depth), f"{bar:.2f}", f"{shown:.1f}") for depth, bar, shown in rows]
    columns = ("Rope (m)", "Pressure (bar)", "A gauge shows (m)")
    return part(title, says, [table("Down the line", columns, written)], rows=rows)


def _lungs(title: str, season: Season, book: Rulebook, targets: Sequence[Target]) -> Json:
    diver, water, lungs = season.diver, water_of(season.site), lungs_of(season.diver, book)
    if lungs is None:
        return missing(title, _no_lungs(diver))
    markers = residual_markers(lungs, diver.packing_l or 0, water)
    squeezed, refused = for_each(targets, lambda target: _squeezed(target, lungs, diver, water))
    says = [f"The volumes are {lungs.source}.", *map(_marker_words, markers), *refused]
    columns = ("Target", "Full breath (L)", *(["Packed (L)"] if diver.packing_l else []))
    caption = f"What is left of a breath; the residual volume is {lungs.residual.litres:.2f} L"
    tables = [_volumes(lungs, diver), table(caption, columns, squeezed)]
    return part(title, says, tables, (MARKER, COACH), lungs=asdict(lungs), markers=markers)


def _no_lungs(diver: Diver) -> str:
    wanted = {"sex": diver.sex, "height": diver.height_cm, "age": diver.age_years}
    lacks = ", ".join(name for name, value in wanted.items() if value is None)
    return (
        f"Your lungs are not filled in. An estimate needs sex, height and age (missing: {lacks}). Measured total "
        "capacity and residual volume are better."
    )


def _marker_words(marker: Mapping[str, Any]) -> str:
    spread = f"{marker['from_m']:.0f} to {marker['to_m']:.0f} m"
    return (
        f"From {STARTS[marker['start']]} of {marker['start_l']:.1f} L the gas fills only the residual volume at about "
        f"{marker['depth_m']:.0f} m; {spread} covers about two in three divers. A marker, not a limit."
    )


def _volumes(lungs: Lungs, diver: Diver) -> Json:
    named = (
        ("Full breath (total capacity)", lungs.total),
        ("After a passive exhale", lungs.relaxed),
        ("Residual volume", lungs.residual),
    )
    rows = [(name, f"{volume.litres:.2f}", f"± {volume.spread_l:.2f}") for name, volume in named if volume is not None]
    if diver.packing_l:
        rows.insert(1, ("Packed on top", f"{diver.packing_l:.2f}", "as you entered it"))
    return table("At the surface", ("Volume", "Litres", "Spread (two in three)"), rows)


def _squeezed(target: Target, lungs: Lungs, diver: Diver, water: Water) -> list[str]:
    """Return the row of a target: what is left of a full breath, and of a packed one, in litres."""
    discipline, depth_m = target
    starts = [lungs.total.litres, *([lungs.total.litres + diver.packing_l] if diver.packing_l else [])]
    litres = [volume_at_l(start_l, depth_m, water) for start_l in starts]
    return [f"{discipline}\u00a0{show(depth_m)}\u00a0m", *(f"{volume_l:.2f}" for volume_l in litres)]


def _speeds(title: str, season: Season, speeds: Speeds) -> Json:
    says = [f"{level.discipline}: {speeds[level.discipline].says}." for level in season.levels]
    return part(title, says, (), [OWN_SPEED])


def _mouthfill(title: str, season: Season, book: Rulebook, targets: Sequence[Target]) -> Json:
    if not season.diver.mouthfill:
        return missing(title, "You have not ticked that you use a mouthfill. If you do, tick it above.")
    names = ("charge_ml", "charge_m", "cavity_ml", "least_ml")
    size, water = {name: book.value(f"mouthfill.{name}") for name in names}, water_of(season.site)
    answers, refused = for_each(targets, lambda target: (target, for_target(target[1], **size, water=water)))
    charge_m, written = size["charge_m"], {name: show(value) for name, value in size.items()}
    says = [
        f"Calculated with the rulebook's values: {written['charge_ml']} mL charged at {written['charge_m']} m, "
        f"{written['cavity_ml']} mL of ears and sinuses, and {written['least_ml']} mL as the least that equalises.",
        *(_mouthfill_words(target, charge_m, answer) for target, answer in answers),
        *refused,
    ]
    return part(title, says, (), [BOUND], targets=[answer for _, answer in answers])


def _mouthfill_words(target: Target, charge_m: float, answer: Mapping[str, Any]) -> str:
    discipline, depth_m = target
    if depth_m <= charge_m:
        return f"{discipline} {show(depth_m)} m: not deeper than the charge at {show(charge_m)} m."
    return f"{discipline} {show(depth_m)} m: {_lower(str(answer['says']).removesuffix(BOUND).strip())}"


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
