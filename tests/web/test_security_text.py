"""What people write stays text: on every page, from every field and from every file; and no page has code in it."""

import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from support.phones import DIVE, Phone, operation

from webapp.actions import accounts, crews, offers, sharing, sync

EVIL = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}"
ROOT = Path(__file__).parents[2]
PAGES = (
    "/boat/today", "/boat/ready", "/boat/check", "/boat/conditions", "/boat/care", "/boat/day", "/boat/log",
    "/boat/dive", "/boat/card", "/boat/season", "/boat/clock", "/boat/focus", "/boat/hand", "/boat/site",
    "/boat/crew", "/boat/next", "/boat/coach", "/boat/proposals", "/boat/outlook", "/boat/emergency",
    "/boat/phone", "/boat/offline",
    "/share/offline-shell",
    "/account/", "/account/sign-in", "/account/sign-up", "/data/", "/seasons/", "/seasons/new", "/seasons/new/all",
    "/seasons/1", "/seasons/1/plan", "/outlook/", "/diver/", "/rulebook/", "/sharing/", "/people/", "/crews/",
    "/nowhere",
)  # fmt: skip


class Scan(HTMLParser):
    """Collects whatever the policy of the page would have to refuse."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._in: str | None = None
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "style" or (tag == "script" and not str(given.get("src", "")).startswith(("/static/", "/pwa/"))):
            self.found.append(f"<{tag} {given}>")
        self._in = tag if tag == "script" else None
        for name, value in given.items():
            if name.startswith("on") or name in ("style", "srcdoc"):
                self.found.append(f"{tag} {name}={value}")
            if re.match(r"\s*(javascript|data|vbscript):", value or "", re.I):
                self.found.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        if self._in == "script" and data.strip():
            self.found.append(f"script text {data!r}")

    def handle_endtag(self, tag: str) -> None:
        self._in = None


def is_clean(page: Any) -> None:
    """Assert that the page has no code of its own, and that what was written is there only as text."""
    assert Scan(page.html).found == [], page.html[:200]
    assert "<script>alert" not in page.html
    assert "<img src=x" not in page.html


@pytest.mark.parametrize(
    "html", ["<p style='x'>", "<b onclick=x>", "<script>x</script>", "<a href=' javascript:x'>", "<style></style>"]
)
def test_the_scan_finds_what_it_is_there_for(html: str) -> None:
    assert Scan(html).found


@pytest.mark.parametrize("path", PAGES)
def test_no_page_has_code_or_style_of_its_own(planner_of_may: Any, path: str) -> None:
    assert Scan(planner_of_may.get(path).html).found == []


@pytest.mark.parametrize("path", [path for path in PAGES if path.startswith("/boat")])
def test_a_shell_has_neither_form_token_nor_anybodys_name(planner_of_may: Any, path: str) -> None:
    html = planner_of_may.get(path).html

    assert "csrf" not in html
    assert "Runa" not in html


@pytest.fixture
def evil(app: Any, person: Any, clock: Any) -> Any:
    """A diver who wrote the same evil text into every field that takes text."""
    diver = person(app)
    diver.sign_up(EVIL[:60])
    diver.set_up(name=EVIL, site_name=EVIL)
    sharing.make_link(1, EVIL, clock())
    phone = Phone()
    record = phone.put(fields={**DIVE, "date": "2027-05-03", "note": EVIL})
    phone.put(record, {"note": EVIL + "again", "effort": 99})
    phone.put(kind="clearance", fields={"clearance": "2027-05-09", "by": EVIL})
    answer = sync.sync(1, phone.request(today="2027-05-10"), clock())
    assert [one["status"] for one in answer["results"]] == ["stored", "refused", "stored"]
    diver.record = record
    return diver


def test_every_page_shows_what_was_written_as_text(evil: Any, clock: Any) -> None:
    records = sync.sync(1, Phone().request(today="2027-05-10"), clock())["changes"]
    link = f"/share/{sharing.make_link(1, EVIL, clock())}"
    for path in (*PAGES, link, *(f"/history/{change['record']}" for change in records)):
        is_clean(evil.get(path))
    for path, words in (
        (link, "{{7*7}}"),
        ("/sharing/", "{{7*7}}"),
        ("/seasons/", "{{7*7}}"),
        (f"/history/{evil.record}", "{{7*7}}"),
    ):
        assert words in evil.get(path).html, path
    assert json.loads(evil.get(f"{link}/list.json").html)["season"] == EVIL


def test_a_crew_its_list_and_an_offer_show_what_was_written_as_text(
    evil: Any, app: Any, person: Any, clock: Any
) -> None:
    link = accounts.invite(1, clock())
    other = person(app, "192.0.2.8")
    other.sign_up("Odd Brae", link=f"/account/sign-up?invite={link}")
    crew = crews.make(1, EVIL[:60], clock())
    join = f"/join/{crews.invite(1, crew, 7, clock())}"
    offer = f"/join/{offers.offer_log(1, ['log'], EVIL, 7, clock())}"
    guest = operation(feed=crew, kind="guest", fields={"name": EVIL, "note": EVIL}, counter=1)
    bad = operation(feed=crew, kind="guest", fields={"name": EVIL * 9, EVIL: EVIL}, counter=2)
    sync.sync(1, Phone().request(today="2027-05-10", operations=[guest, bad], feeds=[]), clock())
    for who, path in ((other, join), (other, offer), (evil, f"/crews/{crew}"), (evil, f"/crews/{crew}/history")):
        is_clean(who.get(path))
    is_clean(other.press(join, join))
    is_clean(other.press(offer, offer))
    is_clean(evil.get("/people/"))
    for page in (other.get("/people/"), evil.get(f"/crews/{crew}/history")):
        is_clean(page)
        assert "&lt;script&gt;alert" in page.html


def test_what_is_typed_wrongly_comes_back_as_text(evil: Any) -> None:
    fields = (
        "name",
        "first_day",
        "blocks-0-days_on",
        "closed_days",
        "site_name",
        "bottom_m",
        "FIM-best_m",
        "blocks-0-drills-0-focus",
        "water",
    )
    pages = [
        evil.set_up(**dict.fromkeys(fields, EVIL)),
        evil.fill("/account/sign-in", {"name": EVIL, "password": EVIL}),
        evil.fill("/account/sign-up?invite=%22%3E%3Cscript%3E", {"name": EVIL * 9, "password": EVIL}),
        evil.fill("/sharing/", {"label": EVIL * 9, "days": EVIL}),
        evil.fill("/people/", {"label": EVIL * 9, "days": EVIL, "right": EVIL}, holding="/people/offer"),
        evil.fill("/crews/", {"title": EVIL * 9}),
        evil.get("/crews/" + EVIL),
        evil.get("/join/" + EVIL),
        evil.fill("/diver/", dict.fromkeys(("body_kg", "suit_l", "sex"), EVIL), holding="body_kg"),
        evil.fill("/rulebook/", {"rule:warm_up.dives": EVIL}),
        evil.fill("/data/", {"typed_name": EVIL, "password": EVIL}, holding="/data/delete"),
        evil.post("/seasons/1/activate", {"csrf_token": "dead", EVIL: EVIL}),
        evil.get("/nowhere/" + EVIL),
        evil.get("/account/sign-in?next=" + EVIL),
    ]
    for page in pages:
        is_clean(page)
        assert page.status in (200, 400, 404)


def test_a_file_that_is_brought_is_told_of_as_text(evil: Any) -> None:
    bad = operation(fields={**DIVE, "date": EVIL, "at": EVIL, "discipline": EVIL, EVIL: 1}, made_at=EVIL)
    odd = operation(fields={**DIVE, "date": "2027-05-03", EVIL: 1})
    file = {"app": "lineslate", "schema": 1, "device": EVIL, "user": None, "operations": [bad, odd, EVIL], "parked": []}
    fields = evil.get("/data/").form("/data/bring")["fields"]
    given = (io.BytesIO(json.dumps(file).encode()), "unsent.json")
    page = evil.post("/data/bring", {**fields, "file": given}, content_type="multipart/form-data")

    assert page.status == 200
    assert "3 could not be stored" in page.words
    assert "{{7*7}}" in page.html, "a field that nobody knows is named"
    is_clean(page)


# The one place that reads markup, from elements: `test_what_a_diver_typed_stays_text` when the worker sends it again.
MARKUP_READ = {"first_view.js": "return content.innerHTML.trim();"}


def test_the_pages_code_puts_text_into_the_page_only_as_text() -> None:
    banned = re.compile(
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|\.srcdoc|setAttribute\(\"on"
    )
    for folder in ("static/js", "service_worker"):
        for path in (ROOT / folder).rglob("*.js"):
            text = path.read_text(encoding="utf-8").replace(MARKUP_READ.get(path.name, "\0"), "")
            assert not banned.search(text), path


def test_no_template_turns_the_escaping_off() -> None:
    for path in (ROOT / "webapp/web/templates").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\|\s*safe\b|autoescape\s+false|Markup\(", text), path
    for path in (ROOT / "webapp").rglob("*.py"):
        assert "Markup(" not in path.read_text(encoding="utf-8"), path
