"""Seasons: list, plan, take a change back, make active, delete and bring back."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import changing, season_effects, seasons
from webapp.records.changes import raw_on
from webapp.rulebook_file import read_rulebook
from webapp.web import signin

bp = Blueprint("seasons", __name__, url_prefix="/seasons")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """List the seasons, the active one first."""
    rows = sorted(seasons.list_seasons(g.user.id), key=lambda row: not row.active)
    today = signin.today()
    return render_template("seasons/index.html", rows=rows, as_of=lambda raw: raw_on(raw, today))


@bp.get("/<int:season_id>/plan")
@signin.required
def plan(season_id: int) -> ResponseReturnValue:
    """Show the dated plan of a season, with what was done and the changes made."""
    row, today = seasons.get_season(g.user.id, season_id), signin.today()
    planned = seasons.plan_of(g.user.id, season_id, today)
    given = {"row": row, "now": raw_on(row.raw, changing.EVER), "plan": planned, "today": today}
    edition = read_rulebook().edition
    return render_template("seasons/whole_plan.html", **given, cautions=cautions(), edition=edition)


@bp.post("/<int:season_id>/changes/<day>/take-back")
@signin.required
def take_back(season_id: int, day: str) -> ResponseReturnValue:
    """Take back a change that has not begun."""
    before = seasons.get_season(g.user.id, season_id)
    after = changing.take_back(g.user.id, season_id, day, signin.today(), signin.now())
    flash("The change is taken back. The phone gets the plan of the active season at its next sync.")
    flash_effect(before, after)
    return redirect(url_for("seasons.plan", season_id=season_id))


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
    seasons.delete_season(g.user.id, season_id, signin.now())
    flash(f"{row.name} is deleted. The log stays.", "undo:" + url_for("seasons.restore", season_id=season_id))
    return redirect(url_for("seasons.index"))


@bp.post("/<int:season_id>/restore")
@signin.required
def restore(season_id: int) -> ResponseReturnValue:
    """Bring a deleted season back."""
    seasons.restore_season(g.user.id, season_id, signin.now())
    flash("The season is back.")
    return redirect(url_for("seasons.index"))


def cautions() -> list[str]:
    """Return the cautions of a season's plan."""
    return list(read_rulebook().texts["cautions"]["season"])


def flash_effect(before: Any, after: Any) -> None:
    """Say on the next page what a saved change of a season did to its goals."""
    effect = season_effects.effect_of(g.user.id, before.raw, after.raw, signin.today())
    if effect:
        told: Any = {**effect, "way": url_for("what_if.index") if after.active and effect["is_told"] else ""}
        flash(told, "goals")
