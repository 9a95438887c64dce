"""The phone's code is sent without its comments and indents, and is otherwise the code that is written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from webapp.web.app import create_app
from webapp.web.assets import LABELS
from webapp.web.scripts import as_sent

ROOT = Path(__file__).parents[2]
JS = ROOT / "static" / "js"
FILES = sorted(JS.rglob("*.js"))


def test_whole_lines_of_comment_become_empty_lines_and_all_else_stays_in_its_line() -> None:
    code = (
        '// a\nconst b = 1; // c\n  /** d\n   * e `f`\n  */\n/** @type {any} */ (g).h = "// i";\n/* j */\n k /* l */;'
    )
    assert as_sent(code).split("\n") == [
        "", "const b = 1; // c", "", "", "", '/** @type {any} */ (g).h = "// i";', "", "k /* l */;",
    ]  # fmt: skip


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(JS).as_posix())
def test_no_text_of_the_code_goes_over_several_lines(path: Path) -> None:
    """Nothing is taken out of a text then: each line that is sent has as many backticks as it opens and closes."""
    written = path.read_text(encoding="utf-8")
    sent = as_sent(written).split("\n")
    assert len(sent) == len(written.split("\n"))
    assert [line for line in sent if line.replace("\\`", "").count("`") % 2] == []


def test_a_module_is_sent_once_and_then_known_by_its_etag(app) -> None:
    client = app.test_client()
    first = client.get("/static/js/clock.js")
    assert first.status_code == 200
    assert "export function now()" in first.text
    assert "The only file of the phone" not in first.text
    assert first.headers["Content-Type"].startswith("text/javascript")
    again = client.get("/static/js/clock.js", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize("name", ["boat", "shore"])
def test_a_style_sheet_is_sent_with_the_one_that_it_imports_and_without_notes(app, name: str) -> None:
    client = app.test_client()
    base, whole = (client.get(f"/static/css/{sheet}.css").text for sheet in ("base", name))
    assert whole.startswith(base.rstrip())
    assert len(whole) > len(base)
    assert "@import" not in whole
    assert "/*" not in whole
    assert ".fault::before {" in base, "each rule is there"
    first = client.get(f"/static/css/{name}.css")
    again = client.get(f"/static/css/{name}.css", headers={"If-None-Match": first.headers["ETag"]})
    assert (first.headers["Content-Type"], again.status_code) == ("text/css; charset=utf-8", 304)


def test_an_import_inside_of_a_sheet_comes_first_as_the_standard_wants() -> None:
    """Cascading and inheritance, level 4, 2: any @import comes before all other rules, else it does not count."""
    for path in (ROOT / "static" / "css").glob("*.css"):
        rules = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL).strip()
        assert "@import" not in rules.removeprefix('@import "base.css";'), path.name


@pytest.mark.parametrize(
    "address",
    [
        "/static/js/nothing.js", "/static/js/../css/base.css", "/static/js/pages", "/static/css/none.css",
        "/static/css/", *(f"/static/{kind}/{'too_long_for_any_file' * 20}.{kind}" for kind in ("js", "css")),
    ],
)  # fmt: skip
def test_nothing_but_modules_and_style_sheets_is_sent_from_their_folders(app, address: str) -> None:
    assert app.test_client().get(address).status_code == 404


def test_a_browser_asks_for_each_file_every_time_unless_the_settings_say_otherwise(tmp_path: Path) -> None:
    addresses = ("/static/js/clock.js", "/static/css/base.css", LABELS)
    for fresh_s, says in ((0, "no-cache"), (60, "max-age=60")):
        app = create_app({"DATA_FILE": str(tmp_path / "data.sqlite3"), "FILES_FRESH_S": fresh_s})
        heard = []
        for address in addresses:
            with app.test_client().get(address) as answer:
                heard.append(answer.headers["Cache-Control"])
        assert all(says in words for words in heard), heard
