"""The dive card of each rung: the physics of `webapp.water` for the season's site, diver and rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import replace
from typing import Any

from ..records.model import DISCIPLINES, Diver, Season, Site
from ..rulebook.rulebook import Rulebook
from ..water.buoyancy import Diver as Floating
from ..water.buoyancy import free_fall_depth_m
from ..water.card import Line, Marks, Overdue, Safety, make_card
from ..water.lungs import Lungs, measured_lungs, predicted_lungs
from ..water.pressure import Water, named_water
from ..water.times import MeanSpeed, Pace, fitted, speed_from_log
from .reader.sentences import fill

Speeds = Mapping[str, MeanSpeed]  # by discipline
EPSILON_M = 1e-9  # tolerance for floats at an edge: 32.2 - 0.5 is 31.700000000000003
SLED = "VWT"  # the diver rides a sled down: there is no free fall


def water_of(site: Site) -> Water:
    """Return the water column of the site; a salinity of its own overrides that of its kind."""
    water = named_water(site.water, site.temperature_c, site.latitude, site.altitude_m)
    return water if site.salinity is None else replace(water, salinity=site.salinity)


def speeds_of(log: Iterable[Mapping[str, Any]], book: Rulebook) -> Speeds:
    """Return each discipline's mean speed: the diver's own if the log has enough dives with a time, else the book's.

    Only deep dives that reached their target count, clean or hard: drills are slow on purpose, warm-ups are often
    hangs. Times that the form filled in and nobody changed say nothing. Rounded to cm/s, and without the count, so
    that one dive more does not change every card.
    """
    timed: dict[str, list[tuple[float, float | None]]] = {name: [] for name in DISCIPLINES}
    tolerance_m, ends = book.value("clean.tolerance_m") + EPSILON_M, _signs_that_end(book)
    for dive in log:
        if dive["kind"] == "dive" and dive["role"] == "deep" and _is_as_planned(dive, tolerance_m, ends):
            timed[dive["discipline"]].append((dive["reached_m"], dive["dive_s"]))
    turn_s, least = book.value("speed.turn_s"), book.value("speed.least_dives")
    plausible = book.value("speed.believed_low"), book.value("speed.believed_high")
    found = {name: speed_from_log(timed[name], book.value(f"speed.{name}"), turn_s, least, plausible) for name in timed}
    return {name: _rounded(speed, least, book) for name, speed in found.items()}


def _is_as_planned(dive: Mapping[str, Any], tolerance_m: float, ends: Set[str]) -> bool:
    """Tell whether this deep dive has a time of its own, reached its target, and was clean or hard."""
    if dive["dive_s"] is None or dive.get("time_from") is not None:
        return False
    if dive["target_m"] is None or dive["reached_m"] < dive["target_m"] - tolerance_m:
        return False
    return ends.isdisjoint(dive["signs"])


def _signs_that_end(book: Rulebook) -> Set[str]:
    """Return the signs whose verdict ends the day."""
    verdicts = book.texts["verdict"]
    return frozenset(code for code, sign in book.texts["sign"].items() if verdicts[sign["verdict"]].get("over"))


def _rounded(speed: MeanSpeed, least: int, book: Rulebook) -> MeanSpeed:
    m_s, is_own = round(speed.m_s, 2), speed.dives > 0
    words = book.texts["words"]["speed_own" if is_own else "speed_book"]
    return MeanSpeed(m_s, least if is_own else 0, fill(words, {"speed": m_s, "least": least}))


def lungs_of(diver: Diver, book: Rulebook) -> Lungs | None:
    """Return the lungs as measured, else as predicted, else None; the season's check has checked the ranges."""
    if diver.total_l is not None and diver.residual_l is not None:
        spread = book.value("lungs.measured_spread_share")
        return measured_lungs(diver.total_l, diver.residual_l, diver.relaxed_l, spread)
    if diver.sex is not None and diver.height_cm is not None and diver.age_years is not None:
        return predicted_lungs(diver.sex, diver.height_cm, diver.age_years)
    return None


def floating_of(diver: Diver, book: Rulebook) -> Floating | None:
    """Return the diver's body, suit and lungs for buoyancy, without packing; None if body or lungs are not filled in.

    Packing makes the diver more buoyant: lead calculated with it would be too much on a day without packing.
    """
    lungs = lungs_of(diver, book)
    if lungs is None or diver.body_kg is None:
        return None
    return Floating(
        body_kg=diver.body_kg,
        body_density=diver.body_density or book.value("body.density"),
        lungs_l=lungs.total.litres,
        gut_l=book.value("body.gut_l"),
        suit_l=diver.suit_l or 0,
        suit_kg=diver.suit_kg or 0,
        suit_gas_share=book.value("suit.gas_share"),
        suit_stiffness=book.value("suit.stiffness"),
    )


def free_fall_of(season: Season, book: Rulebook) -> float:
    """Return where the free fall begins in m: from body, suit and lead if they are known, else the rulebook's depth."""
    floating = floating_of(season.diver, book)
    if floating is not None and season.diver.lead_kg is not None:
        fall, drag = book.value("fall.onset_m_s"), book.value("fall.drag")
        found = free_fall_depth_m(floating, season.diver.lead_kg, fall, drag, water_of(season.site)).value
        if found is not None:
            return round(found, 1)
    return float(book.value("fall.from_m"))


def card_maker(season: Season, book: Rulebook, speeds: Speeds) -> Callable[[str, float], dict[str, Any]]:
    """Return the function (discipline, depth in m) -> card; all that does not depend on the depth is calculated once.

    The card is that of `water.card.make_card` without what the page does not show.
    """
    value, water, fall_m = book.value, water_of(season.site), free_fall_of(season, book)
    line = Line(season.site.bottom_m, value("card.line_below_m"), value("card.least_clearance_m"))
    safety = Safety(
        value("safety.meet_share"), value("safety.meet_most_m"), value("safety.own_limit_m"),
        value("safety.speed_m_s"), value("safety.margin_s"), value("safety.latest_share"),
    )  # fmt: skip
    overdue = Overdue(value("overdue.share"), value("overdue.least_s"))
    marks = Marks(value("mouthfill.charge_m") if season.diver.mouthfill else None, season.diver.alarms_m)
    swim, down, up = (value(f"pace.{name}") for name in ("swim_m_s", "fall_m_s", "ascent_m_s"))
    falling = Pace(swim, down, up, value("speed.turn_s"), fall_m)
    shapes = {name: replace(falling, free_fall_m=None) if name == SLED else falling for name in DISCIPLINES}

    def card(discipline: str, depth_m: float) -> dict[str, Any]:
        pace = fitted(shapes[discipline], depth_m, speeds[discipline].m_s)
        return _short(make_card(depth_m, pace, line, marks, safety, overdue, water))

    return card


def _short(card: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out what the page does not show, so that the cards of a whole ladder stay small."""
    meet = card["safety"]
    return {
        "line_m": card["line_m"],
        "clearance_m": card["clearance_m"],
        "gauge_m": card["gauge_m"],
        "down": [[mark["kind"], mark["depth_m"], mark["at_s"]] for mark in card["down"]],
        "turn_s": card["turn"]["at_s"],
        "total_s": card["total_s"],
        "overdue_s": card["overdue_s"],
        "meet": {name: meet[name] for name in ("depth_m", "leave_s", "meet_s")},
        "cautions": card["cautions"],
    }
