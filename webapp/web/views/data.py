"""A diver's data: everything as open files, import of a phone's unsent dives, and deletion of the account."""

import io
import zipfile
from collections.abc import Iterable
from typing import Any

from flask import Blueprint, Response, flash, g, redirect, render_template, send_file, url_for
from flask.typing import ResponseReturnValue

from webapp.actions import bringing, leaving
from webapp.web import signin, tries
from webapp.web.errors import Fault, Refused, keeps_typed
from webapp.web.forms.base import STALE
from webapp.web.forms.data import DeleteForm, FileForm
from webapp.web.forms.faults import place

bp = Blueprint("data", __name__, url_prefix="/data")


@bp.get("/")
@signin.required
def index() -> ResponseReturnValue:
    """Show what can be downloaded, imported and deleted."""
    return _page(FileForm(), DeleteForm())


@bp.get("/export.zip")
@signin.required
def export() -> Response:
    """Give everything as open files in one archive."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in leaving.export(g.user.id, signin.now()).items():
            archive.writestr(name, text)
    packed.seek(0)
    name = f"lineslate-{signin.today()}.zip"
    answer = send_file(packed, "application/zip", as_attachment=True, download_name=name)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@bp.post("/bring")
@keeps_typed
@signin.required
def bring() -> ResponseReturnValue:
    """Import a phone's file of unsent dives, and say what happened to each."""
    form = FileForm()
    if not form.alive():
        return _page(form, DeleteForm(formdata=None), [STALE], form.find), 400
    if not form.file.data:
        return _page(form, DeleteForm(formdata=None), [Fault("file", "is missing: choose a file")], form.find), 400
    try:
        tries.allow_file(g.user.id)
        brought = bringing.bring(g.user.id, form.file.data.read(), signin.now())
        tries.count_refused(g.user.id, len(brought.refused))
    except Refused as refused:
        return _page(form, DeleteForm(formdata=None), refused.faults, form.find), 400
    return _page(FileForm(formdata=None), DeleteForm(formdata=None), brought=brought)


@bp.post("/delete")
@keeps_typed
@signin.required
def delete() -> ResponseReturnValue:
    """Delete the account with everything in it, after its name and password were typed again."""
    form = DeleteForm()
    if not form.alive():
        return _page(FileForm(formdata=None), form, [STALE], form.find), 400
    tries.take_or_raise(tries.own_password(g.user.id))
    try:
        leaving.delete_account(g.user.id, form.typed_name.data or "", form.password.data or "", signin.now())
    except Refused as refused:
        return _page(FileForm(formdata=None), form, refused.faults, form.find), 400
    signin.end()
    flash("The account is deleted with everything in it. A phone that was used with it still keeps its own copy.")
    return redirect(url_for("account.sign_in"))


def _page(
    bring: FileForm, delete: DeleteForm, faults: Iterable[Fault] = (), find: Any = None, brought: Any = None
) -> str:
    shown = place(faults, find or bring.find)
    return render_template("data/index.html", bring=bring, delete=delete, faults=shown, brought=brought)
