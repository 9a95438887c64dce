"""The start address, and the health check."""

from flask import Blueprint, jsonify, redirect
from flask.typing import ResponseReturnValue

from webapp.actions.health import trouble

bp = Blueprint("root", __name__)


@bp.get("/")
def index() -> ResponseReturnValue:
    """Go to Today: the boat side works with and without signal."""
    return redirect("/boat/today")


@bp.get("/healthz")
def health() -> ResponseReturnValue:
    """Say whether the server could keep what a phone sends now, and if not, why."""
    found = trouble()
    if found is None:
        return jsonify(app="lineslate", ok=True)
    why, says = found
    return jsonify(app="lineslate", ok=False, why=why, says=says), 503
