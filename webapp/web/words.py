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


def labels_json() -> str:
    """Return them as the text that a shell carries."""
    return json.dumps(phone_labels(), ensure_ascii=False)


def init_app(app: Flask) -> None:
    """Give the words to the templates."""
    app.add_template_global(labels_json)
