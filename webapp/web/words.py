"""The words that the phone's pages come with: one list for the server and the phone."""

import json
from typing import Any

from flask import Flask

from webapp.protocol.kinds import KINDS
from webapp.records import labels
from webapp.rulebook_file import read_rulebook

BOAT = (  # tables of boat.toml and technique.toml
    "readiness", "not_ready", "check", "current", "waves", "equalisation", "recovery", "clock", "cue", "focus_rate",
    "proposal", "proposal_setting",
)  # fmt: skip
BOAT_NUMBERS = (  # of the book: for a dive without a ladder sheet, and what no season changes
    "clock.watch_s", "overdue.share", "overdue.least_s", "focus.there", "focus.of_last", "focus.days",
    "coach.silent_days",
)  # fmt: skip
CREW_NUMBERS = (  # of the book: the run order takes them
    "crew.safety_rest", "crew.deep_m", "crew.two_safeties_m", "crew.set_up_s", "crew.set_up_each_metre",
    "safety.meet_share", "safety.meet_most_m",
)  # fmt: skip
BOAT_LIMITS = (
    "hang_s", "visibility_m", "bottom_m", "temperature_c", "lead_kg", "check_items", "readiness", "note", "text",
    "depth_m", "altitude_m", "salinity", "rpe", "minutes",
)  # fmt: skip


def phone_labels() -> dict[str, Any]:
    """Return what people call each code: disciplines, roles, goals, kinds of day, verdicts, kinds of record."""
    kinds = {
        name: {"label": kind.label, "day": kind.day, "heading": kind.heading, "fields": dict(kind.fields)}
        for name, kind in KINDS.items()
    }
    return {
        "disciplines": labels.DISCIPLINES,
        "roles": labels.ROLES,
        "goals": labels.GOALS,
        "days": labels.DAYS,
        "verdicts": labels.VERDICTS,
        "kinds": kinds,
        "boat": boat_words(),
    }


def boat_words() -> dict[str, Any]:
    """Return what the boat pages ask beside the dive: its codes with their words, and the limits of its numbers."""
    book = read_rulebook()
    limits = {name: dict(zip(("min", "max"), book.limit(name), strict=True)) for name in BOAT_LIMITS}
    numbers = {name: book.value(name) for name in BOAT_NUMBERS}
    figures = {code: {"says": one["says"], "unit": one["unit"]} for code, one in book.texts["figure"].items()}
    settings = {name: {**one, **_bounds(book.by_name[name])} for name, one in book.texts["proposal_setting"].items()}
    texts = {**{name: book.texts[name] for name in BOAT}, "proposal_setting": settings}
    return {**texts, "figure": figures, "limits": limits, "numbers": numbers}


def _bounds(entry: Any) -> dict[str, Any]:
    """Return between what a number of the rulebook may lie."""
    return {"min": entry.min, "max": entry.max, **({"whole": True} if entry.whole else {})}


def emergency_texts() -> dict[str, Any]:
    """Return what the emergency page says: each event with its steps and their source, and the words around them."""
    texts = read_rulebook().texts
    return {"events": texts["emergency"], "says": texts["emergency_words"]}


def technique_json() -> str:
    """Return what the page of clips says, and its figures with published values, as text: no other page needs it."""
    texts = read_rulebook().texts
    return json.dumps({"technique": texts["technique"], "figure": texts["figure"]}, ensure_ascii=False)


def crew_words() -> dict[str, Any]:
    """Return what only the page of the crew needs: the numbers of its run order, and the words for its reasons."""
    book = read_rulebook()
    return {**book.texts["crew"], "limits": {name: book.value(name) for name in CREW_NUMBERS}}


def crew_json(parts: tuple[str, ...] = ()) -> str:
    """Return them, or only these parts, as text."""
    found = crew_words()
    return json.dumps({name: found[name] for name in parts or found}, ensure_ascii=False)


BUDDY_CREW = ("limits", "why", "cannot")
BUDDY_PARTS = ("disciplines", "roles")  # a buddy's page says nothing of health, not even by its words


def labels_json(parts: tuple[str, ...] = ()) -> str:
    """Return them, or only these parts, as text."""
    found = phone_labels()
    return json.dumps({name: found[name] for name in parts or found}, ensure_ascii=False)


def init_app(app: Flask) -> None:
    """Give the words to the templates."""
    app.add_template_global(emergency_texts)
    app.add_template_global(technique_json)
    app.add_template_global(crew_json)
    app.add_template_global(lambda: labels_json(BUDDY_PARTS), "buddy_labels_json")
    app.add_template_global(lambda: crew_json(BUDDY_CREW), "buddy_crew_json")
