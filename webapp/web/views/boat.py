"""The boat side: shells that hold nobody's data, so that a phone can keep them and fill them from its own storage."""

from flask import Blueprint, Response, make_response, render_template, request

from webapp.web.assets import BOAT_PAGES, modules, version
from webapp.web.security import CSP_WITH_CLIPS, PERMISSIONS

bp = Blueprint("boat", __name__, url_prefix="/boat")

# what the icon opens, and what must not wait; in every shell the lists would be too much for a first visit
PRELOADED = ("today", "emergency")
LOCATING = ("emergency", "site")  # may ask the phone where it is
PLAYING = ("technique",)  # plays clips that the phone itself holds


@bp.get(f"/<any({', '.join(BOAT_PAGES)}):page>")
def shell(page: str) -> Response:
    """Return the shell of one page; the same for everybody, checked again on each visit."""
    preloaded = modules(page) if page in PRELOADED else []
    answer = make_response(render_template(f"boat/{page}.html", modules=preloaded, version=version()))
    answer.headers["Cache-Control"] = "no-cache"
    if page in LOCATING:
        answer.headers["Permissions-Policy"] = PERMISSIONS.replace("geolocation=()", "geolocation=(self)")
    if page in PLAYING:
        answer.headers["Content-Security-Policy"] = CSP_WITH_CLIPS
    answer.add_etag()  # on a first visit the worker asks for the page that is open already
    answer.make_conditional(request)
    return answer
