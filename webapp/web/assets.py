"""What the phone keeps: the shells and the static files, and the version: a hash of all of it."""

import hashlib
import json
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from webapp.web.words import crew_json, emergency_texts, labels_json, technique_json

ROOT = Path(__file__).parents[2]
BOAT_PAGES = (
    "today", "ready", "check", "conditions", "care", "day", "dive", "card", "log", "season", "clock", "focus",
    "site", "technique", "hand", "crew", "next", "emergency", "phone", "offline",
    "coach", "proposals", "outlook",
)  # fmt: skip
SHARE_SHELL = "/share/offline-shell"
BASE_STYLE = "/static/css/base.css"  # sent inside the sheets that import it
LABELS = "/pwa/labels.js"  # the words of the boat pages, which their modules read
WORKER = ROOT / "service_worker"

# The templates that the shells are made of: when their text changes, the version changes.
_SHELL_SOURCES = ("templates/base.html", "templates/boat/*.html", "templates/share/shell.html")
_NOT_KEPT = ("js/shore",)  # improves forms of pages that need the server anyway
# Kept from the second visit on, or once opened: a first visit with a weak signal must not wait for them.
LATER = ("phone", "focus", "crew", "next", "hand", "coach", "proposals", "outlook", "technique")
# A phone loads them when others share something with it.
FEEDS = ("sync/feeds.js", "parts/crew_turn.js", "parts/crew_sites.js")
_LATE = re.compile(r'(?:import|URL)\("(\.[^"]+\.js)"')
_IMPORTED = re.compile(r"""^(?:import|export|\}).* from "(\.[^"]+)";""", re.MULTILINE)
_KEPT = ("css/*.css", "js/**/*.js", "icons/icon.svg")


def shells() -> list[str]:
    """Return the addresses of the pages that the phone keeps from its first visit on."""
    return [*(f"/boat/{page}" for page in BOAT_PAGES if page not in LATER), SHARE_SHELL]


def files() -> list[str]:
    """Return the addresses of the files that those pages need."""
    later = {address for addresses in more().values() for address in addresses}
    every = [f"/{path.relative_to(ROOT).as_posix()}" for path in _static_files()]
    return [LABELS, *(address for address in every if address not in later and address != BASE_STYLE)]


@lru_cache(maxsize=1)
def more() -> dict[str, list[str]]:
    """Return the pages that a phone keeps after its first visit, each with the files that no page kept then needs."""
    others = {address for page in BOAT_PAGES if page not in LATER for address in modules(page, late=True)}
    others |= set(modules("share"))  # kept for buddies too
    return {
        f"/boat/{page}": [*_style(page), *(one for one in modules(page, late=True) if one not in others)]
        for page in LATER
    }


def _style(page: str) -> list[str]:
    """Return the address of the style sheet that only this page has, if there is one."""
    return [f"/static/css/{page}.css"] if (ROOT / "static" / "css" / f"{page}.css").is_file() else []


@lru_cache(maxsize=2 * len(BOAT_PAGES))
def modules(page: str, *, late: bool = False) -> list[str]:
    """Return the addresses of all modules that a page imports: a browser finds them layer by layer.

    With those that it loads `late`, when they are needed; none for a page without a script. What only a phone with
    feeds of others loads comes with the pages that are kept later.
    """
    left_out = set() if page in LATER else {ROOT / "static" / "js" / name for name in FEEDS}
    found = [ROOT / "static" / "js" / "pages" / f"{page}.js"]
    if not found[0].is_file():
        return []
    for path in found:  # it grows meanwhile
        code = path.read_text(encoding="utf-8")
        named = _IMPORTED.findall(code) + (_LATE.findall(code) if late else [])
        near = dict.fromkeys((path.parent / name).resolve() for name in named)
        found += [other for other in near if other not in found and other not in left_out]
    return [f"/{path.relative_to(ROOT).as_posix()}" for path in found]


@lru_cache(maxsize=1)
def version() -> str:
    """Return the name of this version: a hash of everything that the phone keeps, and of the worker itself."""
    digest = hashlib.sha256()
    for path in (*_static_files(), *_shell_sources(), *sorted(WORKER.glob("*.js"))):
        digest.update(path.relative_to(ROOT).as_posix().encode())
        digest.update(path.read_bytes())
    digest.update(labels_json().encode())
    digest.update(json.dumps(emergency_texts()).encode())  # part of one
    for words in (technique_json(), crew_json()):
        digest.update(words.encode())  # of other ones
    return digest.hexdigest()[:16]


def _static_files() -> Iterator[Path]:
    static = ROOT / "static"
    for pattern in _KEPT:
        yield from sorted(path for path in static.glob(pattern) if not _is_left_out(path))


def _is_left_out(path: Path) -> bool:
    return path.parent.relative_to(ROOT / "static").as_posix() in _NOT_KEPT


def _shell_sources() -> Iterator[Path]:
    for pattern in _SHELL_SOURCES:
        yield from sorted((ROOT / "webapp" / "web").glob(pattern))
