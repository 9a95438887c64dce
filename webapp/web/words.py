"""The words that the phone's pages come with: one list for the server and the phone."""

import json
from typing import Any

from flask import Flask

from webapp.protocol.kinds import KINDS
from webapp.records import labels


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
    }


BUDDY_PARTS = ("disciplines", "roles")  # a buddy's page says nothing of health, not even by its words


def labels_json(parts: tuple[str, ...] = ()) -> str:
    """Return them, or only these parts, as the text that a page carries."""
    found = phone_labels()
    return json.dumps({name: found[name] for name in parts or found}, ensure_ascii=False)


def init_app(app: Flask) -> None:
    """Give the words to the templates."""
    app.add_template_global(labels_json)
    app.add_template_global(lambda: labels_json(BUDDY_PARTS), "buddy_labels_json")
