"""Seasons: list, set up, preview, change, make active, delete and bring back."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import seasons
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.season import SeasonForm, typed_season

bp = Blueprint("seasons", __name__, url_prefix="/seasons")
FRAGMENT = "X-Fragment"
KEPT = ("rules", "diver")  # parts of a season that have pages of their own


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """List the seasons, the active one first."""
    rows = sorted(seasons.list_seasons(g.user.id), key=lambda row: not row.active)
    return render_template("seasons/index.html", rows=rows)


@bp.route("/new", methods=["GET", "POST"])
@keeps_typed
@signin.required
def new() -> ResponseReturnValue:
    """Set up a season."""
    return _form(None)


@bp.route("/<int:season_id>", methods=["GET", "POST"])
@keeps_typed
@signin.required
def edit(season_id: int) -> ResponseReturnValue:
    """Change a season."""
    return _form(seasons.get_season(g.user.id, season_id))


@bp.get("/<int:season_id>/plan")
@signin.required
def plan(season_id: int) -> ResponseReturnValue:
    """Show the dated plan of a season, with what was done."""
    row = seasons.get_season(g.user.id, season_id)
    today = signin.today()
    planned = seasons.plan_of(g.user.id, season_id, today)
    given = {"row": row, "plan": planned, "today": today}
    return render_template("seasons/whole_plan.html", **given, cautions=_cautions(), edition=read_rulebook().edition)


@bp.post("/<int:season_id>/activate")
@signin.required
def activate(season_id: int) -> ResponseReturnValue:
    """Make this the season that the phone follows."""
    seasons.activate(g.user.id, season_id)
    flash("This is the active season now. The phone gets it at its next sync.")
    return redirect(url_for("seasons.index"))


@bp.post("/<int:season_id>/delete")
@signin.required
def delete(season_id: int) -> ResponseReturnValue:
    """Delete a season, and offer to undo it."""
    row = seasons.get_season(g.user.id, season_id)
    seasons.delete_season(g.user.id, season_id)
    flash(f"{row.name} is deleted. The log stays.", "undo:" + url_for("seasons.restore", season_id=season_id))
    return redirect(url_for("seasons.index"))


@bp.post("/<int:season_id>/restore")
@signin.required
def restore(season_id: int) -> ResponseReturnValue:
    """Bring a deleted season back."""
    seasons.restore_season(g.user.id, season_id)
    flash("The season is back.")
    return redirect(url_for("seasons.index"))


def _form(row: Any) -> ResponseReturnValue:
    """Show the form, preview what is typed, or save it; on any fault show it again as typed."""
    form = SeasonForm(data=typed_season(row.name, row.raw, read_rulebook()) if row else None)
    if not form.is_submitted():
        return _page(form, row)
    preview = request.form.get("do") == "preview"
    own = form.own_faults(_before(row))
    faults = [*form.stale(), *(fault for fault in own if not (preview and fault.field == "name"))]
    return _preview(form, row, faults) if preview else _save(form, row, faults)


def _preview(form: SeasonForm, row: Any, faults: list[Fault]) -> ResponseReturnValue:
    """Show the plan of what is typed, or every fault of it."""
    try:
        planned = seasons.preview(form.to_raw(_kept(row)), seasons.log_of(g.user.id), signin.today())
    except Refused as refused:
        return _page(form, row, [*faults, *refused.faults], None, 400)
    return _page(form, row, faults, None if faults else planned, 400 if faults else 200)


def _save(form: SeasonForm, row: Any, faults: list[Fault]) -> ResponseReturnValue:
    """Save what is typed; its check finds every fault of the season beside those of the form."""
    name, season_id = (form.name.data or "").strip(), row.id if row else None
    try:
        saved = seasons.save_season(g.user.id, season_id, name, form.to_raw(_kept(row)), signin.now(), faults)
    except Refused as refused:
        return _page(form, row, refused.faults, None, 400)
    flash(f"{saved.name} is saved. The phone takes it over when it next syncs.")
    return redirect(url_for("seasons.plan", season_id=saved.id))


def _page(form: SeasonForm, row: Any, faults: Any = (), planned: Any = None, status: int = 200) -> ResponseReturnValue:
    """Render the whole page, or only the preview when the page's script asked for it."""
    shown = form.show(faults)
    given = {"form": form, "row": row, "faults": shown, "plan": planned, "today": signin.today()}
    given |= {"cautions": _cautions(), "book": read_rulebook()}
    if request.headers.get(FRAGMENT):
        return render_template("seasons/preview.html", fragment=True, **given), status, {FRAGMENT: "plan"}
    return render_template("seasons/form.html", **given), status


def _before(row: Any) -> set[str]:
    return {level["discipline"] for level in row.raw.get("disciplines") or []} if row else set()


def _kept(row: Any) -> dict[str, Any]:
    """Return what other pages keep in a season; a new one starts with the diver of the newest season that has one."""
    if row:
        return {"rules": {}, **{name: row.raw[name] for name in KEPT if row.raw.get(name)}}
    divers = (other.raw["diver"] for other in reversed(seasons.list_seasons(g.user.id)) if other.raw.get("diver"))
    diver = next(divers, None)
    return {"rules": {}, **({"diver": diver} if diver else {})}


def _cautions() -> list[str]:
    return list(read_rulebook().texts["cautions"]["season"])
