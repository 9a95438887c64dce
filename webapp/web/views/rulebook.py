"""The rulebook: every number of the trade with its meaning and source, and the active season's own values."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import changing, proposals, readings, seasons
from webapp.actions.errors import PastChanges
from webapp.actions.proposals import Proposed
from webapp.records.changes import raw_on
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms import rules
from webapp.web.forms.holds import typed_holds
from webapp.web.forms.levels import LEVEL_NUMBERS
from webapp.web.views.season_form import holds_of, later_words
from webapp.web.views.seasons import flash_effect

bp = Blueprint("rulebook", __name__, url_prefix="/rulebook")


@bp.get("/")
def index() -> ResponseReturnValue:
    """Show the rulebook; to a diver with an active season, open to change."""
    asked = request.args.get("proposal", "")
    if asked and not g.user:
        return signin.to_sign_in()
    row = seasons.active_season(g.user.id) if g.user else None
    if row is None:
        return _page(None, rules.RulesForm(), {})
    proposed = proposals.setting_of(g.user.id, asked) if asked else None
    if proposed and proposed.part in LEVEL_NUMBERS:
        return redirect(url_for("seasons.edit", season_id=row.id, proposal=asked))
    return _filled(row, proposed)


def _filled(row: Any, proposed: Proposed | None) -> ResponseReturnValue:
    """Show the season's own values, with the one that a coach proposed filled in."""
    usual = changing.usual(g.user.id, row, signin.today(), proposed.from_day if proposed else "")
    own = {**(raw_on(row.raw, usual.shown_on).get("rules") or {})}
    if proposed:
        own[proposed.setting] = proposed.value
    holds = typed_holds(usual.from_day, usual.shown_on, proposed.why if proposed else "")
    form = rules.RulesForm(data={"holds": holds})
    return _page(row, form, rules.typed_rules(own, read_rulebook()), proposed=proposed)


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
    return _save(row, form, cells, form.stale())


def _save(row: Any, form: rules.RulesForm, cells: dict[str, str], faults: list[Fault]) -> ResponseReturnValue:
    read, holds = rules.read(cells, read_rulebook()), holds_of(form.holds.form, row)
    typed, is_seen = {"rules": read.rules}, request.form.get("do") == "rewrite"
    try:
        saved, later = changing.change(
            g.user.id, row.id, row.name, typed, holds, signin.now(), signin.today(), faults, is_seen=is_seen
        )
    except Refused as refused:
        return _page(row, form, cells, refused.faults, read.places, status=400)
    except PastChanges as past:
        return _page(row, form, cells, places=read.places, past=past.rows)
    flash(f"The rules of this season are saved.{later_words(later)}")
    flash_effect(row, saved)
    return redirect(url_for("rulebook.index"))


def _page(
    row: Any,
    form: rules.RulesForm,
    cells: Any,
    faults: Any = (),
    places: Any = None,
    status: int = 200,
    past: Any = (),
    proposed: Proposed | None = None,
) -> ResponseReturnValue:
    groups = rules.groups(read_rulebook(), cells, faults, places or {})
    shown = form.show(faults) + rules.all_shown(groups, form.others(faults), places or {})
    given = {"row": row, "groups": groups, "faults": shown, "form": form, "past": past}
    given |= {"proposed": proposed}
    return render_template("rulebook/index.html", **given, **readings.physics()), status
