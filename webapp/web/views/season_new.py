"""A new season from a few values: the short form, and what is proposed from it as the whole form, filled in."""

from typing import Any

from flask import g, render_template
from flask.typing import ResponseReturnValue

from webapp.actions import setting_up
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Refused, keeps_typed
from webapp.web.forms.new_season import NewSeasonForm, typed_start
from webapp.web.forms.season import SeasonForm, typed_season
from webapp.web.views.season_form import season_page
from webapp.web.views.seasons import bp

__all__ = ["bp"]


@bp.route("/new", methods=["GET", "POST"])
@keeps_typed
@signin.required
def new() -> ResponseReturnValue:
    """Ask for a few values, filled in from the log where it knows them; answer with the proposal, open to change."""
    form = NewSeasonForm()
    if not form.is_submitted():
        return _page(NewSeasonForm(data=typed_start(setting_up.starting_point(g.user.id, signin.today()))))
    faults = form.stale()
    try:
        name, raw, plan = setting_up.propose(g.user.id, form.to_wish(), signin.today())
    except Refused as refused:
        return _page(form, [*faults, *refused.faults])
    if faults:
        return _page(form, faults)
    whole = SeasonForm(formdata=None, data=typed_season(name, raw, read_rulebook()))
    return season_page(whole, plan=plan, is_proposal=True)


def _page(form: NewSeasonForm, faults: Any = ()) -> ResponseReturnValue:
    return render_template("seasons/new.html", form=form, faults=form.show(faults)), 400 if faults else 200
