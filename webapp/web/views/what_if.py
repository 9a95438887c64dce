"""The outlook on shore: is the window enough, what would change it, and what if."""

from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import changing, seasons, what_if
from webapp.actions.errors import NotPlanned
from webapp.records.changes import raw_on
from webapp.web import signin
from webapp.web.errors import Refused, keeps_typed
from webapp.web.forms.what_if import WhatIfForm
from webapp.web.views.season_form import later_words, saved_words
from webapp.web.views.seasons import flash_effect

bp = Blueprint("what_if", __name__, url_prefix="/outlook")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """Show whether the window of the active season is enough, and the form that asks what if."""
    row = seasons.active_season(g.user.id)
    return render_template("outlook/none.html") if row is None else _page(WhatIfForm(), row)


@bp.post("/")
@keeps_typed
@signin.required
def ask() -> ResponseReturnValue:
    """Show what was asked for beside the plan as saved, or save it as a change; every fault stands beside its field."""
    row = seasons.active_season(g.user.id)
    if row is None:
        return redirect(url_for("what_if.index"))
    form = WhatIfForm()
    if request.form.get("do") == "apply":
        return _apply(form, row)
    try:
        answer = what_if.ask(g.user.id, row, form.asked(), signin.today(), form.stale())
    except Refused as refused:
        return _page(form, row, refused.faults, 400)
    return _page(form, row, answer=answer)


def _apply(form: WhatIfForm, row: Any) -> ResponseReturnValue:
    try:
        saved, later = what_if.apply(g.user.id, row, form.asked(), signin.today(), signin.now(), form.stale())
    except Refused as refused:
        return _page(form, row, refused.faults, 400)
    flash(f"{saved_words(saved)}{later_words(later)}")
    flash_effect(row, saved)
    return redirect(url_for("seasons.plan", season_id=saved.id))


def _page(form: WhatIfForm, row: Any, faults: Any = (), status: int = 200, answer: Any = None) -> ResponseReturnValue:
    today, now = signin.today(), raw_on(row.raw, changing.EVER)
    form.offer([level["discipline"] for level in now["disciplines"]], what_if.usual_day(g.user.id, row, today))
    found, not_planned = _outlook(row, today)
    given = {"form": form, "row": row, "now": now, "faults": form.show(faults), "answer": answer, "found": found}
    given["is_over"] = str(now["last_day"]) < today
    return render_template("outlook/index.html", **given, not_planned=not_planned), status


def _outlook(row: Any, today: str) -> tuple[Any, NotPlanned | None]:
    """Return the answer, or why there is none: a season that cannot be calculated has a page that says why."""
    try:
        return what_if.outlook_of(g.user.id, row, today), None
    except NotPlanned as error:
        return None, error
