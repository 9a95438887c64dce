"""The history of one dive or clearance: who changed what when, what lost a conflict, and how to put a value back."""

from collections.abc import Callable, Container, Iterable, Mapping
from typing import Any

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import histories
from webapp.actions.errors import NotFound
from webapp.protocol.kinds import KINDS
from webapp.rulebook.checks import named_halves
from webapp.rulebook_file import read_rulebook
from webapp.web import signin
from webapp.web.errors import Fault, Refused
from webapp.web.filters import day, degrees, minutes, moment, plain, role

bp = Blueprint("history", __name__, url_prefix="/history")
SHOWN: Mapping[str, Callable[[Any], str]] = {
    "date": day,
    "clearance": day,
    "surfaced_at": moment,
    "dive_s": minutes,
    "role": role,
    "to": day,
    "logged_at": moment,
    "latitude": degrees,
    "longitude": degrees,
}
SAID = ("no_diving", "turned_why")  # codes with their words in the rulebook


@bp.get("/<record>")
@signin.required
def show(record: str) -> ResponseReturnValue:
    """Show every operation ever received for this record."""
    return _page(record)


@bp.post("/<record>/put-back")
@signin.required
def put_back(record: str) -> ResponseReturnValue:
    """Write an earlier value again, as a new change."""
    op, name, base, why = (request.form.get(field, "") for field in ("op", "name", "base", "why"))
    try:
        histories.put_back(g.user.id, record, op, name, _number(base), why, signin.now())
    except Refused as refused:
        return _page(record, refused.faults), 400
    flash(f"{_label(name)}: the earlier value is back. The phone takes it over when it next syncs.")
    return redirect(url_for("history.show", record=record))


def _page(record: str, faults: Iterable[Fault] = ()) -> str:
    steps = histories.history(g.user.id, record)
    if not steps:
        raise NotFound
    now = histories.stands(g.user.id, record)
    devices, asks = _devices(steps), histories.lighter_ones(g.user.id, now, steps)
    shown = [_step(step, now, devices, asks) for step in steps]
    said = [Fault("", f"{_label(fault.field)} {fault.says}") for fault in faults]
    asked = steps[0].entry.asked
    title = _title(asked.kind, now.fields if now else asked.fields)
    page = render_template("history/show.html", record=record, now=now, steps=shown, title=title, faults=said)
    return named_halves(page)  # the journal of older versions holds refused text that no page can


def _devices(steps: Iterable[histories.Step]) -> dict[str, str]:
    """Name the devices in the order in which they first wrote; changes made on shore get a name of their own."""
    named = {histories.SHORE: "the shore pages"}
    for step in steps:
        device = step.entry.asked.device
        named.setdefault(device, f"device {len(named)} ({device[:4]})")
    return named


def _step(
    step: histories.Step, now: Any, devices: Mapping[str, str], asks: Container[tuple[str, str]]
) -> dict[str, Any]:
    entry, asked = step.entry, step.entry.asked
    reasons = [f"{_label(fault.field)} {fault.says}" for fault in entry.faults]
    return {
        "op": asked.op, "device": devices[asked.device], "author": step.author, "made_at": asked.made_at,
        "received_at": entry.received_at,
        "refused": entry.status == "refused", "faults": reasons, "created": not entry.before and bool(entry.after),
        "beaten": "deleted" in step.lost and not entry.after,
        "changes": [_change(name, step, now, asks) for name in entry.after],
    }  # fmt: skip


def _change(name: str, step: histories.Step, now: Any, asks: Container[tuple[str, str]]) -> dict[str, Any]:
    entry = step.entry
    value = entry.after[name]
    differs = now is not None and (now.deleted if name == "deleted" else now.fields.get(name) != value)
    return {
        "name": name, "label": _label(name), "lost": name in step.lost, "won": name in entry.conflict,
        "before": _words(name, entry.before[name]) if name in entry.before else None, "after": _words(name, value),
        "back": differs and name != "lighter_why" and not (name == "deleted" and not value),
        "asks": (entry.asked.op, name) in asks,
    }  # fmt: skip


def _words(name: str, value: Any) -> str:
    """Return a value as people read it."""
    if name == "deleted":
        return "yes" if value else "no"
    if name == "signs" and isinstance(value, list):
        signs = read_rulebook().texts["sign"]
        return ", ".join(signs[code]["says"] if code in signs else str(code) for code in value) or "none"
    texts = read_rulebook().texts
    if name in SAID and value in texts[name]:
        return str(texts[name][value]["says"])
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or value == "":
        return "nothing"
    if name in SHOWN:
        return SHOWN[name](value)
    return plain(value) + (" m" if name.endswith("_m") else "")


def _label(name: str) -> str:
    """Return what people call a field."""
    found = (kind.fields[name] for kind in KINDS.values() if name in kind.fields)
    return "Deleted" if name == "deleted" else next(found, name)


def _title(kind: str, fields: Mapping[str, Any]) -> str:
    """Return which record it is; a refused one may hold anything."""
    known = KINDS[kind]
    shown = [_words(name, fields[name]) for name in (known.day, *known.heading) if fields.get(name)]
    of = "of " if known.day else ""
    return f"the {known.label} {of}{', '.join(shown)}" if shown else f"a {known.label}"


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
