"""Body and water: what the diver says about body, suit and lungs, and the readings for the season's site."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import changing, readings, seasons
from webapp.actions.errors import NotPlanned
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Refused, keeps_typed
from webapp.web.forms.personal import PersonalForm, typed_diver

bp = Blueprint("diver", __name__, url_prefix="/diver")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """Show the form of the active season's diver, and the readings."""
    row = seasons.active_season(g.user.id)
    if row is None:
        return render_template("diver/none.html")
    return _page(PersonalForm(data=typed_diver(row.raw.get("diver") or {})), row)


@bp.post("/")
@keeps_typed
@signin.required
def change() -> ResponseReturnValue:
    """Save what was typed into the active season, or show every fault beside it."""
    row = seasons.active_season(g.user.id)
    if row is None:
        return redirect(url_for("diver.index"))
    form = PersonalForm()
    try:
        changing.change_diver(g.user.id, row.id, form.to_raw(), signin.now(), form.stale())
    except Refused as refused:
        return _page(form, row, refused.faults, 400)
    flash("Saved. The phone gets the new dive cards at its next sync.")
    return redirect(url_for("diver.index"))


def _page(form: PersonalForm, row: Any, faults: Any = (), status: int = 200) -> ResponseReturnValue:
    shown = form.show(faults)
    form.rows_for(int(read_rulebook().limit("alarms")[1]))
    parts, not_planned = _readings(row)
    given = {"form": form, "row": row, "faults": shown, "parts": parts, "not_planned": not_planned}
    return render_template("diver/index.html", **given), status


def _readings(row: Any) -> tuple[dict[str, Any], NotPlanned | None]:
    """Return the readings, or why there are none: the form must be there all the same."""
    try:
        return readings.readings_for(g.user.id, row, signin.today()), None
    except NotPlanned as error:
        return {}, error
