"""Buoyancy and lead as read out to a diver: forces, neutral depth, start of free fall, lead, other water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..planner.cards import floating_of, lungs_of, water_of
from ..records.model import Diver, Season
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from ..water.buoyancy import (
    Answer,
    buoyancy_kgf,
    free_fall_depth_m,
    lead_change_kg,
    lead_for_neutral_kg,
    neutral_depth_m,
)
from ..water.buoyancy import Diver as Floating
from ..water.pressure import SALINITY, Water
from .parts import Json, depths_m, missing, part, table

CAUTIONS = (
    "These are estimates. Test each change of suit, lead or water at the line, shallow first, with someone beside you.",
    "More lead makes the fall easier and the ascent harder, and a diver who is heavy sinks when unconscious.",
)
NO_LEAD = "The lead you carry is not filled in (0 if none): without it your neutral depth cannot be calculated."
COLUMNS = ("Rope (m)", "Force (kgf)", "Up or down")
NEITHER_KGF = 0.05  # what shows as 0.0


def lead_part(title: str, season: Season, book: Rulebook) -> Json:
    """Return how the diver's body, suit and lead float or sink in the water of the site."""
    diver, floating, water = season.diver, floating_of(season.diver, book), water_of(season.site)
    if floating is None:
        return missing(title, _lacks(diver, lungs_of(diver, book) is not None))
    wanted_m = book.value("lead.neutral_m")
    wanted = lead_for_neutral_kg(floating, wanted_m, water)
    says = [
        *_wanted(wanted, wanted_m),
        *_other_waters(floating, diver.lead_kg, wanted_m, water),
        *_assumed(diver, book),
    ]
    if diver.lead_kg is None:
        return part(title, [NO_LEAD, *says], (), CAUTIONS, wanted_kg=wanted.value)
    neutral = neutral_depth_m(floating, diver.lead_kg, water)
    rows = [(depth, buoyancy_kgf(floating, diver.lead_kg, depth, water)) for depth in [0.0, *depths_m(season, book)]]
    says = [*_neutral(neutral, diver.lead_kg, wanted_m), _fall(floating, diver.lead_kg, book, water), *says]
    tables = [table(f"Net force with {show(diver.lead_kg)} kg of lead", COLUMNS, map(_force, rows))]
    return part(title, says, tables, CAUTIONS, wanted_kg=wanted.value, neutral_m=neutral.value, rows=rows)


def _lacks(diver: Diver, has_lungs: bool) -> str:
    body, lungs = "the mass of your body", "your lungs"
    lacks = [*([] if diver.body_kg is not None else [body]), *([] if has_lungs else [lungs])]
    return f"Not calculated: {' and '.join(lacks)} {'is' if lacks == [body] else 'are'} not filled in."


def _force(row: tuple[float, float]) -> Sequence[str]:
    depth_m, kgf = row
    word = "neither" if abs(kgf) < NEITHER_KGF else "up" if kgf > 0 else "down"
    return show(depth_m), f"{abs(kgf):.1f}", word


def _neutral(neutral: Answer, lead_kg: float, wanted_m: float) -> list[str]:
    if neutral.value is None:
        return [f"Neutral depth with {show(lead_kg)} kg of lead: {neutral.says}."]
    says = [f"With {show(lead_kg)} kg of lead and full lungs you are neutral at about {neutral.value:.0f} m."]
    if neutral.value < wanted_m:
        says.append(f"That is shallower than the rulebook's {show(wanted_m)} m: take lead off.")
    return says


def _fall(floating: Floating, lead_kg: float, book: Rulebook, water: Water) -> str:
    speed = book.value("fall.onset_m_s")
    fall = free_fall_depth_m(floating, lead_kg, speed, book.value("fall.drag"), water)
    if fall.value is not None:
        return (
            f"From about {fall.value:.0f} m you sink at {show(speed)} m/s without swimming: "
            "the dive cards start the free fall there."
        )
    return f"Sinking at {show(speed)} m/s without swimming: {fall.says}. The dive cards use the rulebook's depth."


def _assumed(diver: Diver, book: Rulebook) -> list[str]:
    found = []
    if diver.body_density is None:
        found.append(f"Calculated with the rulebook's {show(book.value('body.density'))} kg/L for your body.")
    if diver.packing_l:
        found.append("Calculated without the packed breath: packing only makes you more buoyant.")
    if not diver.suit_l:
        found.append("Calculated without a suit: none is filled in.")
    return found


def _wanted(wanted: Answer, wanted_m: float) -> list[str]:
    if wanted.value is None:
        return [f"Lead for a neutral depth of {show(wanted_m)} m: {wanted.says}."]
    kg = f"{wanted.value:.1f} kg"
    return [
        f"No more than about {kg} of lead: with more you are neutral shallower than the rulebook's {show(wanted_m)} m."
    ]


def _other_waters(floating: Floating, lead_kg: float | None, wanted_m: float, here: Water) -> list[str]:
    """Return what changes on going to the sea or a lake, and back."""
    others = [
        (kind, replace(here, salinity=salinity)) for kind, salinity in SALINITY.items() if salinity != here.salinity
    ]
    says = []
    for kind, there in others:
        says.append(_change(kind, floating, wanted_m, here, there))
        if lead_kg is not None:
            says.append(_same_lead(kind, neutral_depth_m(floating, lead_kg, there), lead_kg))
    return says


def _change(kind: str, floating: Floating, wanted_m: float, here: Water, there: Water) -> str:
    change = lead_change_kg(floating, wanted_m, here, there)
    if change.value is None:
        return f"Going from here to {kind} water, neutral at {show(wanted_m)} m: {change.says}."
    away, back = ("more", "less") if change.value > 0 else ("less", "more")
    kg = f"{abs(change.value):.1f} kg"
    return (
        f"Going from here to {kind} water: about {kg} {away} to be neutral at {show(wanted_m)} m; "
        f"coming back, {kg} {back}."
    )


def _same_lead(kind: str, neutral: Answer, lead_kg: float) -> str:
    where = neutral.says if neutral.value is None else f"about {neutral.value:.0f} m"
    return f"With the same {show(lead_kg)} kg of lead in {kind} water, neutral depth: {where}."
