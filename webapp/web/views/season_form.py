"""The form of a whole season: a new one saved, a stored one changed from a day on or corrected from the start."""

from typing import Any

from flask import flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import changing, proposals, season_effects, seasons, setting_up, sites, what_if
from webapp.actions.changing import Holds
from webapp.actions.errors import PastChanges
from webapp.records.changes import raw_on
from webapp.rulebook_file import read_rulebook
from webapp.web import filters, signin
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.holds import HoldsForm, typed_holds
from webapp.web.forms.season import SeasonForm, typed_season
from webapp.web.views.seasons import bp, cautions, flash_effect

FRAGMENT = "X-Fragment"
LOOKS = ("preview", "window")  # what is asked for without saving: the plan, or with it what would change it
KEPT = ("rules", "diver")  # parts of a season that have pages of their own


@bp.route("/new/all", methods=["GET", "POST"])
@keeps_typed
@signin.required
def new_whole() -> ResponseReturnValue:
    """Set up a season field by field: show the form, preview what is typed, or save it."""
    form = SeasonForm()
    if not form.is_submitted():
        return season_page(form)
    if request.form.get("fill"):
        return _fill_new(form, request.form["fill"])
    preview = request.form.get("do") in LOOKS
    own = form.own_faults()
    faults = [*form.stale(), *(fault for fault in own if not (preview and fault.field == "name"))]
    return _preview_new(form, faults) if preview else _save_new(form, faults)


@bp.route("/<int:season_id>", methods=["GET", "POST"])
@keeps_typed
@signin.required
def edit(season_id: int) -> ResponseReturnValue:
    """Show the form, preview what is typed beside the saved plan, or save it."""
    row = seasons.get_season(g.user.id, season_id)
    form = _form(row)
    if not form.is_submitted():
        return _preview_change(form, row, []) if form.is_filled else season_page(form, row)
    preview = request.form.get("do") in LOOKS
    own = form.own_faults({level["discipline"] for level in row.raw.get("disciplines") or []})
    faults = [*form.stale(), *(fault for fault in own if not (preview and fault.field == "name"))]
    return _preview_change(form, row, faults) if preview else _save_change(form, row, faults)


def _form(row: Any) -> SeasonForm:
    if request.method == "POST":
        return SeasonForm()
    if request.args.get("change"):
        return _filled_form(row, request.args["change"])
    proposed = proposals.setting_of(g.user.id, request.args.get("proposal", ""))
    usual = changing.usual(g.user.id, row, signin.today(), proposed.from_day if proposed else "")
    shown = typed_season(row.name, raw_on(row.raw, usual.shown_on), read_rulebook())
    holds = typed_holds(usual.from_day, usual.shown_on, proposed.why if proposed else "")
    form = SeasonForm(data={**shown, "holds": holds})
    if proposed:
        form.propose(proposed.part, proposed.value, proposed.says)
    return form


def _filled_form(row: Any, key: str) -> SeasonForm:
    """Return the form with one of the listed changes filled in and marked; as it is, with a word, if there is none."""
    found, words = season_effects.filled_in(row.raw, key, signin.today()), season_effects.fill_words()
    holds = found.holds if found else changing.usual(g.user.id, row, signin.today())
    before = typed_season(row.name, raw_on(row.raw, holds.shown_on), read_rulebook())
    shown = typed_season(row.name, found.raw, read_rulebook()) if found else before
    form = SeasonForm(data={**shown, "holds": typed_holds(holds.from_day, holds.shown_on)})
    form.mark_filled(before, words["field"], found.says if found else words["gone"])
    return form


def holds_of(form: HoldsForm, row: Any) -> Holds:
    """Return from when an edit holds, as typed; a form that does not say it gets the usual answer."""
    usual = changing.usual(g.user.id, row, signin.today())
    if not form.since.data:
        return usual
    return Holds(**{**form.values(), "shown_on": form.shown_on.data or usual.shown_on})


def later_words(later: list[str]) -> str:
    """Return a sentence about later changes that set the same once more, "" when there are none."""
    days = ", ".join(filters.day(day) for day in later)
    return f" The change made for {days} sets the same and holds from then on." if later else ""


def saved_words(saved: Any) -> str:
    """Return what is said after saving a season: the phone follows the active one only."""
    if saved.active:
        return f"{saved.name} is saved. The phone takes it over when it next syncs."
    return f"{saved.name} is saved, but it is not active: the phone stays with the active season until you change it."


def _preview_change(form: SeasonForm, row: Any, faults: list[Fault]) -> ResponseReturnValue:
    holds = holds_of(form.holds.form, row)
    try:
        typed, site = form.to_raw(_kept_of(row, holds)), form.site_shown.data
        shown = changing.preview(g.user.id, row.id, typed, holds, signin.today(), site)
    except Refused as refused:
        return season_page(form, row, [*faults, *refused.faults], 400)
    if faults:
        return season_page(form, row, faults, 400)
    found = _window(shown.raw)
    return season_page(form, row, plan=shown.plan, compared=shown.rows, idle_since=shown.idle_since, found=found)


def _save_change(form: SeasonForm, row: Any, faults: list[Fault]) -> ResponseReturnValue:
    name, holds = (form.name.data or "").strip(), holds_of(form.holds.form, row)
    typed, is_seen = form.to_raw(_kept_of(row, holds)), request.form.get("do") == "rewrite"
    try:
        saved, later = changing.change(
            g.user.id, row.id, name, typed, holds, signin.now(), signin.today(), faults,
            is_seen=is_seen, shown=form.site_shown.data,
        )  # fmt: skip
    except Refused as refused:
        return season_page(form, row, refused.faults, 400)
    except PastChanges as past:
        return season_page(form, row, past=past.rows)
    flash(f"{saved_words(saved)}{later_words(later)}")
    flash_effect(row, saved)
    return redirect(url_for("seasons.plan", season_id=saved.id))


def _window(raw: dict[str, Any]) -> Any:
    """Return whether the window is enough and what would change it, where that is asked for: it takes a moment."""
    asks = request.form.get("do") == "window"
    return what_if.outlook_of_typed(g.user.id, raw, signin.today()) if asks else None


def _kept_of(row: Any, holds: Holds) -> dict[str, Any]:
    now = raw_on(row.raw, holds.shown_on)
    return {"rules": {}, **{name: now[name] for name in KEPT if now.get(name)}}


def _preview_new(form: SeasonForm, faults: list[Fault]) -> ResponseReturnValue:
    """Show the plan of what is typed, or every fault of it."""
    try:
        raw = seasons.settled(g.user.id, form.to_raw(_kept_of_newest()), {}, form.site_shown.data).raw
        planned = seasons.preview(raw, seasons.log_of(g.user.id), signin.today())
    except Refused as refused:
        return season_page(form, faults=[*faults, *refused.faults], status=400)
    if faults:
        return season_page(form, faults=faults, status=400)
    return season_page(form, plan=planned, found=_window(raw), can_fill=True)


def _fill_new(form: SeasonForm, key: str) -> ResponseReturnValue:
    """Show the form of a new season with one of the listed changes filled in and marked, and its plan."""
    try:
        raw = seasons.settled(g.user.id, form.to_raw(_kept_of_newest()), {}, form.site_shown.data).raw
        seasons.preview(raw, [], signin.today())
    except Refused as refused:
        return season_page(form, faults=[*form.stale(), *refused.faults], status=400)
    name, words = form.name.data or "", season_effects.fill_words()
    found = season_effects.filled_in(raw, key, signin.today())
    before = typed_season(name, raw, read_rulebook())
    whole = SeasonForm(formdata=None, data=typed_season(name, found.raw, read_rulebook()) if found else before)
    whole.mark_filled(before, words["field"], found.says if found else words["gone"])
    return _preview_new(whole, form.stale())


def _save_new(form: SeasonForm, faults: list[Fault]) -> ResponseReturnValue:
    """Save what is typed; its check finds every fault of the season beside those of the form."""
    name = (form.name.data or "").strip()
    try:
        raw = form.to_raw(_kept_of_newest())
        saved = seasons.save_season(
            g.user.id, None, name, raw, signin.now(), faults, signin.today(), form.site_shown.data
        )
    except Refused as refused:
        return season_page(form, faults=refused.faults, status=400)
    flash(saved_words(saved))
    return redirect(url_for("seasons.plan", season_id=saved.id))


def _kept_of_newest() -> dict[str, Any]:
    """Return what other pages keep in a season: a new one has no rules of its own yet, and starts with the diver."""
    diver = setting_up.kept_diver(seasons.list_seasons(g.user.id))
    return {"rules": {}, **({"diver": diver} if diver else {})}


def season_page(
    form: SeasonForm, row: Any = None, faults: Any = (), status: int = 200, **given: Any
) -> ResponseReturnValue:
    """Render the whole page, or only the preview when the page's script asked for it."""
    given |= {"form": form, "row": row, "faults": form.show(faults), "today": signin.today()}
    given["enough"] = season_effects.enough_of(given["plan"], signin.today()) if given.get("plan") else None
    form.offer_sites(sites.listed(g.user.id))
    given |= {"cautions": cautions(), "book": read_rulebook()}
    given |= {"action": request.path if row else url_for("seasons.new_whole")}
    if request.headers.get(FRAGMENT):
        return render_template("seasons/preview.html", fragment=True, **given), status, {FRAGMENT: "plan"}
    return render_template("seasons/form.html", **given), status
