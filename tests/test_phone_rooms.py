"""The rooms of the phone's code hold: who may import whom, and what only one of them may touch."""

from __future__ import annotations

import ast
import posixpath
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
JS = ROOT / "static" / "js"
READER = ROOT / "webapp" / "planner" / "reader"
IMPORT = re.compile(r"""(?:\bfrom|\bimport)\s*\(?\s*["']([^"']+)["']""")

# room of static/js: the rooms that it may import; "." stands for the files beside the rooms
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    ".": (),
    "reader": ("reader",),
    "plan": ("plan", "."),
    "timing": ("timing",),
    "crew": ("crew", "reader"),
    "video": ("video",),
    "store": ("store", "plan", "reader", "."),
    "sync": ("sync", "store", "."),
    "ui": ("ui", "."),
    "drawings": ("drawings", "ui"),
    "parts": ("parts", "drawings", "plan", "reader", "store", "sync", "timing", "ui", "video", "crew", "."),
    "pages": ("pages", "parts", "drawings", "plan", "reader", "store", "sync", "timing", "ui", "video", "crew", "."),
    "shore": ("shore", "ui"),
}


def files() -> list[Path]:
    return sorted(JS.rglob("*.js"))


def name_of(path: Path) -> str:
    return path.relative_to(JS).as_posix()


def code_of(path: Path) -> str:
    """The code without its comments."""
    return re.sub(r"/\*[\s\S]*?\*/|(?<!:)//[^\n]*", "", path.read_text(encoding="utf-8"))


def imports_of(path: Path) -> list[str]:
    """What a module imports, as names below static/js."""
    folder = posixpath.dirname(name_of(path))
    return [posixpath.normpath(posixpath.join(folder, name)) for name in IMPORT.findall(code_of(path))]


def room_of(name: str) -> str:
    return posixpath.dirname(name) or "."


@pytest.mark.parametrize("path", files(), ids=name_of)
def test_each_room_imports_only_what_the_map_allows(path: Path) -> None:
    allowed = MAY_IMPORT[room_of(name_of(path))]
    assert [name for name in imports_of(path) if room_of(name) not in allowed] == []


def test_lines_of_the_phones_code_are_at_most_120_characters_long() -> None:
    code = [*files(), *sorted((ROOT / "service_worker").glob("*.js"))]
    lines = [(path.name, line) for path in code for line in path.read_text(encoding="utf-8").splitlines()]
    assert [(name, line) for name, line in lines if len(line) > 120] == []


def test_no_page_is_imported_but_the_starter_of_pages() -> None:
    imported = {name for path in files() for name in imports_of(path) if room_of(name) == "pages"}
    assert imported == {"pages/boat.js"}


def test_only_the_store_opens_the_phones_storage() -> None:
    assert {room_of(name_of(path)) for path in files() if "indexedDB" in code_of(path)} == {"store"}


def test_only_sync_talks_to_the_sync_address() -> None:
    assert {room_of(name_of(path)) for path in files() if '"/sync"' in code_of(path)} == {"sync"}


def test_only_one_file_asks_the_time() -> None:
    asking = re.compile(r"Date\.now\(|new Date\(\)")
    assert [name_of(path) for path in files() if asking.search(code_of(path))] == ["clock.js"]


PURE = [*sorted((JS / "reader").glob("*.js")), *sorted((JS / "timing").glob("*.js"))]


@pytest.mark.parametrize("path", PURE, ids=name_of)
def test_reader_and_timing_touch_no_page_no_storage_no_network_and_no_clock(path: Path) -> None:
    touched = re.findall(
        r"\b(document|window|navigator|localStorage|indexedDB|fetch|performance|await|async)\b", code_of(path)
    )
    assert touched == []


@pytest.mark.parametrize("path", sorted((JS / "crew").glob("*.js")), ids=lambda path: path.stem)
def test_the_order_of_a_crew_is_calculation_only_and_the_same_on_every_phone(path: Path) -> None:
    """No page, storage, network, clock or chance, and no order of words that a phone's language decides."""
    touched = re.findall(
        r"\b(document|window|navigator|self|localStorage|indexedDB|fetch|performance|await|async|setTimeout|Date"
        r"|random|localeCompare|Intl|toLocaleString)\b",
        code_of(path),
    )
    assert touched == []


VIDEO = sorted((JS / "video").glob("*.js"))
# they move the film, run the loop beside the page, and read the film's file
ON_THE_PAGE = {"stepping", "follow", "frames", "worker", "film_times", "mp4_times", "webm_times"}


@pytest.mark.parametrize("path", [path for path in VIDEO if path.stem not in ON_THE_PAGE], ids=lambda path: path.stem)
def test_what_measures_a_film_is_calculation_only(path: Path) -> None:
    touched = re.findall(r"\b(document|window|navigator|self|performance|await|async|setTimeout)\b", code_of(path))
    assert touched == []


@pytest.mark.parametrize("path", VIDEO, ids=lambda path: path.stem)
def test_the_frames_of_a_film_never_leave_the_phone_and_are_never_stored(path: Path) -> None:
    out = re.compile(
        r"\b(fetch|XMLHttpRequest|sendBeacon|WebSocket|EventSource|RTCPeerConnection|localStorage|caches)\b"
    )
    assert out.findall(code_of(path)) == []
    assert re.findall(r"\b(indexedDB|getDirectory|toBlob|toDataURL|createObjectURL)\b", code_of(path)) == []


def test_the_two_readers_have_the_same_files() -> None:
    on_shore = {path.stem for path in READER.glob("*.py")} - {"__init__"}
    assert on_shore == {path.stem for path in (JS / "reader").glob("*.js")}


@pytest.mark.parametrize("path", sorted((JS / "reader").glob("*.js")), ids=lambda path: path.stem)
def test_twins_offer_the_same_functions(path: Path) -> None:
    tree = ast.parse((READER / f"{path.stem}.py").read_text(encoding="utf-8"))
    functions = {node.name for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")}
    exported = set(re.findall(r"^export function (\w+)", code_of(path), re.M))
    assert {camel(name) for name in functions} == exported


@pytest.mark.parametrize(
    ("stem", "python", "phone"),
    [
        ("ladder", "Fold", "Fold"),
        ("state", "State", "State"),
        ("harm", "Harm", "Harm"),
        ("rest", "Rest", "Rest"),
    ],
)
def test_the_classes_of_the_readers_have_the_same_steps(stem: str, python: str, phone: str) -> None:
    tree = ast.parse((READER / f"{stem}.py").read_text(encoding="utf-8"))
    found = next(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name == python)
    steps = {camel(node.name.lstrip("_")) for node in found.body if isinstance(node, ast.FunctionDef)} - {"init"}
    code = code_of(JS / "reader" / f"{stem}.js").split(f"class {phone} ")[1].split("\n}\n")[0]
    assert steps - {"Init"} == set(re.findall(r"^  (\w+)\([^)]*\) \{$", code, re.M)) - {"constructor"}


def camel(name: str) -> str:
    first, *rest = name.split("_")
    return first + "".join(part.capitalize() for part in rest)


def test_nothing_moves_for_whoever_asked_for_less_motion() -> None:
    """Every transition and animation of a style sheet stands behind the question; no script scrolls or moves softly."""
    for path in sorted((ROOT / "static" / "css").glob("*.css")):
        asked = re.sub(r"@media \(prefers-reduced-motion: no-preference\) \{\n(  .*\n)+\}", "", path.read_text("utf-8"))
        assert not re.search(r"\b(transition|animation|scroll-behavior)\b|@keyframes", asked), path.name
    for path in files():
        code = path.read_text("utf-8")
        assert not re.search(r"\.animate\(|behavior: \"smooth\"|startViewTransition", code), name_of(path)
