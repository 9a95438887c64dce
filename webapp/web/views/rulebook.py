"""The rulebook: every number of the trade with its meaning and source, and the active season's own values."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import readings, seasons
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms import rules

bp = Blueprint("rulebook", __name__, url_prefix="/rulebook")


@bp.get("/")
def index() -> ResponseReturnValue:
    """Show the rulebook; to a diver with an active season, open to change."""
    row = seasons.active_season(g.user.id) if g.user else None
    own = rules.typed_rules(row.raw.get("rules") or {}, read_rulebook()) if row else {}
    return _page(row, own)


@bp.post("/")
@keeps_typed
@signin.required
def change() -> ResponseReturnValue:
    """Save the season's own values, or show every fault beside what was typed."""
    row = seasons.active_season(g.user.id)
    if row is None:
        return redirect(url_for("seasons.new"))
    form = rules.RulesForm()
    cells = rules.without(request.form, request.form.get("back", ""))
    faults = form.stale()
    read = rules.read(cells, read_rulebook())
    faults += _refused(row, read) if faults else []
    return _page(row, cells, faults, read.places, 400) if faults else _save(row, cells, read)


def _save(row: Any, cells: dict[str, str], read: rules.Read) -> ResponseReturnValue:
    try:
        seasons.save_season(g.user.id, row.id, row.name, {**row.raw, "rules": read.rules}, signin.now())
    except Refused as refused:
        return _page(row, cells, refused.faults, read.places, 400)
    flash("The rules of this season are saved.")
    return redirect(url_for("rulebook.index"))


def _refused(row: Any, read: rules.Read) -> tuple[Fault, ...]:
    try:
        seasons.preview({**row.raw, "rules": read.rules}, [], signin.today())
    except Refused as refused:
        return refused.faults
    return ()


def _page(row: Any, cells: Any, faults: Any = (), places: Any = None, status: int = 200) -> ResponseReturnValue:
    groups = rules.groups(read_rulebook(), cells, faults, places or {})
    shown = rules.all_shown(groups, faults, places or {})
    form = rules.RulesForm()
    given = {"row": row, "groups": groups, "faults": shown, "form": form}
    return render_template("rulebook/index.html", **given, **readings.physics()), status
