"""What makes a website an app on the phone: the manifest, and the worker with the list of what it keeps."""

import json

from flask import Blueprint, Response, current_app, jsonify, request, send_from_directory

from webapp.web import assets, scripts
from webapp.web.words import labels_json

bp = Blueprint("pwa", __name__)

MANIFEST = {
    "name": "Lineslate",
    "short_name": "Lineslate",
    "description": "A depth freediver's season: the plan, the log, the next target; works without signal",
    "id": "/boat/today",
    "start_url": "/boat/today",
    "scope": "/",
    "display": "standalone",
    "background_color": "#e9edf0",
    "theme_color": "#0d4656",
    # Android: a file or a text that was shared with this app; the worker takes it, the server never sees it
    "share_target": {
        "action": "/boat/received",
        "method": "POST",
        "enctype": "multipart/form-data",
        "params": {"text": "text", "files": [{"name": "day", "accept": ["text/plain", ".txt"]}]},
    },
    "icons": [
        {"src": "/static/icons/icon.svg", "sizes": "any", "type": "image/svg+xml"},
        {"src": "/static/icons/icon-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "/static/icons/icon-512.png", "sizes": "512x512", "type": "image/png"},
        {"src": "/static/icons/maskable-512.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
    ],
}


@bp.get("/pwa/manifest.webmanifest")
def manifest() -> Response:
    """Return what a phone needs to know before it puts the app on its home screen."""
    answer = jsonify(MANIFEST)
    answer.mimetype = "application/manifest+json"
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@bp.get(assets.LABELS)
def labels() -> Response:
    """Return the words of the boat pages as a script: once, and not in each shell."""
    return _script(f"globalThis.LABELS = {labels_json()};\n")


@bp.get("/static/js/<path:name>")
def script(name: str) -> Response:
    """Return a module of the phone's code, without its comments; any other file of the folder is the server's."""
    return _script(scripts.script(assets.ROOT / "static" / "js", name))


@bp.get("/static/css/<path:name>")
def style(name: str) -> Response:
    """Return a style sheet, with those that it imports."""
    return _file(scripts.style(assets.ROOT / "static" / "css", name), "text/css")


def _script(code: str) -> Response:
    return _file(code, "text/javascript")


def _file(text: str, mimetype: str) -> Response:
    fresh_s = current_app.config["FILES_FRESH_S"]
    answer = Response(text, mimetype=mimetype)
    answer.headers["Cache-Control"] = f"max-age={fresh_s}" if fresh_s else "no-cache"
    answer.add_etag()
    answer.make_conditional(request)
    return answer


@bp.get("/service_worker/list.js")
def worker_list() -> Response:
    """Return the version and the addresses of what the worker keeps, as the module that it imports."""
    names = {"VERSION": assets.version(), "SHELLS": assets.shells(), "FILES": assets.files(), "MORE": assets.more()}
    lines = [f"export const {name} = {json.dumps(value, indent=2)};" for name, value in names.items()]
    return _for_worker(Response("\n".join(lines) + "\n", mimetype="text/javascript"))


@bp.get("/service_worker/version")
def worker_version() -> Response:
    """Return the name of this version alone: the worker asks whether it is still the same once it has everything."""
    return _for_worker(Response(assets.version(), mimetype="text/plain"))


@bp.get("/service_worker/<path:name>")
def worker_file(name: str) -> Response:
    """Return a file of the worker; it may control every page, not only those below its own folder."""
    return _for_worker(send_from_directory(assets.WORKER, name, mimetype="text/javascript"))


def _for_worker(answer: Response) -> Response:
    answer.headers["Cache-Control"] = "no-cache"
    answer.headers["Service-Worker-Allowed"] = "/"
    return answer
