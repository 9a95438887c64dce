"""The start address, and the health check."""

from flask import Blueprint, jsonify, redirect
from flask.typing import ResponseReturnValue

bp = Blueprint("root", __name__)


@bp.get("/")
def index() -> ResponseReturnValue:
    """Go to Today: the boat side works with and without signal."""
    return redirect("/boat/today")


@bp.get("/healthz")
def health() -> ResponseReturnValue:
    """Say that the server answers."""
    return jsonify(app="lineslate", ok=True)
