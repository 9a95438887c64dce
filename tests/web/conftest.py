"""People who use the shore: each has a browser without script, and reads pages as a person does."""

import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from support.phones import DIVE, Phone
from support.routes import things_of_the_first
from support.typed import SEASON
from werkzeug.test import TestResponse

from webapp.actions import accounts, sync
from webapp.web.app import create_app

START = datetime(2027, 5, 10, 9, 30, tzinfo=UTC)
NAME, PASSWORD = "Runa Tidewell", "slow kelp drifts"
VOID = {"input", "meta", "link", "br", "img", "hr"}


class Clock:
    """A clock that only goes on when a test says so."""

    def __init__(self) -> None:
        self.at, self.ran_s = START, 0.0

    def __call__(self) -> datetime:
        return self.at

    def seconds(self) -> float:
        return self.ran_s

    def wait(self, **span: float) -> None:
        self.at += timedelta(**span)
        self.ran_s += timedelta(**span).total_seconds()

    def put_back(self, **span: float) -> None:
        self.at -= timedelta(**span)


class Page(HTMLParser):
    """A page as its reader meets it: words, fields with their values, forms, links, headings."""

    def __init__(self, response: TestResponse) -> None:
        super().__init__()
        self.status, self.headers, self.html = response.status_code, response.headers, response.text
        self.forms: list[dict[str, Any]] = []
        self.links: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.ids: list[str] = []
        self._select: str | None = None
        self._area: str | None = None
        self.words_parts: list[str] = []
        self._open: list[str] = []
        self.feed(self.html)
        self.words = re.sub(r"\s+", " ", " ".join(self.words_parts))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append((tag, given))
        if "id" in given:
            self.ids.append(given["id"])
        if tag not in VOID:
            self._open.append(tag)
        if tag == "form":
            self.forms.append({"action": given.get("action", ""), "fields": {}, "buttons": []})
        elif tag == "a" and "href" in given:
            self.links.append(given["href"])
        elif tag in {"input", "select", "textarea", "button"} and self.forms:
            self._field(tag, given)
        elif tag == "option" and self._select and "selected" in given:
            self.forms[-1]["fields"][self._select] = given.get("value", "")

    def _field(self, tag: str, given: dict[str, str]) -> None:
        fields = self.forms[-1]["fields"]
        if tag == "button":
            self.forms[-1]["buttons"].append(given)
        elif tag == "select" and "name" in given:
            self._select = given["name"]
            fields[self._select] = ""
        elif tag == "textarea":
            self._area = given["name"]
            fields[self._area] = ""
        elif given.get("type") in {"checkbox", "radio"}:
            if "checked" in given:
                fields[given["name"]] = given.get("value", "on")
        elif "name" in given:
            fields[given["name"]] = given.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop() != tag:
            pass
        if tag == "select":
            self._select = None
        if tag == "textarea":
            self._area = None

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self.forms[-1]["fields"][self._area] += data.removeprefix("\r\n").removeprefix("\n")
        elif not {"script", "style"} & set(self._open):
            self.words_parts.append(data)

    def form(self, holding: str) -> dict[str, Any]:
        """Return the form that has this field, or whose action ends so."""
        for form in self.forms:
            if holding in form["fields"] or (holding.startswith("/") and form["action"].endswith(holding)):
                return form
        raise AssertionError(f"no form with {holding!r} among {[form['action'] for form in self.forms]}")

    def fault_of(self, name: str) -> str:
        """Return the words of the fault that is tied to the field of this name, "" when it has none."""
        field = next(given for _, given in self.tags if given.get("name") == name and "type" not in ("hidden",))
        ids = field.get("aria-describedby", "").split()
        fault = next((one for one in ids if one.endswith("-fault")), None)
        if fault is None:
            return ""
        assert fault in self.ids
        inside = self.html.split(f'id="{fault}"', 1)[1].split("</div>", 1)[0]
        return re.sub(r"<[^>]+>", "", inside.split(">", 1)[1]).strip()


class Person:
    """Someone with a browser: follows links, fills forms, presses buttons."""

    def __init__(self, app: Flask, address: str = "192.0.2.7") -> None:
        self.client = app.test_client()
        self.client.environ_base = {**self.client.environ_base, "REMOTE_ADDR": address}

    def get(self, path: str, **kwargs: Any) -> Page:
        with self.client.get(path, **kwargs) as response:
            return Page(response)

    def post(self, path: str, typed: Mapping[str, Any], **kwargs: Any) -> Page:
        with self.client.post(path, data=typed, **kwargs) as response:
            return Page(response)

    def fill(self, path: str, typed: Mapping[str, Any], *, holding: str | None = None, follow: bool = True) -> Page:
        """Open a page, type into the form and send it, as a browser without script does."""
        return self.send(self.get(path), path, typed, holding=holding, follow=follow)

    def send(
        self, page: Page, path: str, typed: Mapping[str, Any], *, holding: str | None = None, follow: bool = True
    ) -> Page:
        form = page.form(holding or next(iter(typed)))
        fields = {**form["fields"], **typed}
        left = {name: value for name, value in fields.items() if value is not None}
        return self.post(form["action"] or path, left, follow_redirects=follow)

    def press(self, path: str, action: str) -> Page:
        """Open a page and press the button that leads to this action."""
        return self.fill(path, {}, holding=action)

    def sign_up(
        self, name: str = NAME, password: str = PASSWORD, link: str | None = None, *, follow: bool = True
    ) -> Page:
        return self.fill(link or "/account/sign-up", {"name": name, "password": password}, follow=follow)

    def sign_in(self, name: str = NAME, password: str = PASSWORD) -> Page:
        return self.fill("/account/sign-in", {"name": name, "password": password})

    def set_up(self, follow: bool = True, **typed: Any) -> Page:
        """Save a season; fields of a discipline are written with its code first."""
        return self.fill("/seasons/new/all", {**SEASON, "do": "save", **typed}, follow=follow)


@pytest.fixture(autouse=True)
def _cheap_passwords(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hash at a low cost: a hundred sign-ups need not wait; test_security_limits.py looks at the real cost."""
    monkeypatch.setattr(accounts, "METHOD", "scrypt:1024:8:1")


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def settings(tmp_path: Path, clock: Clock) -> dict[str, Any]:
    data_file = str(tmp_path / "lineslate.sqlite3")
    clocks = {"NOW": clock, "SECONDS": clock.seconds}
    return {"DATA_FILE": data_file, "TESTING": True, "PROPAGATE_EXCEPTIONS": False, **clocks}


@pytest.fixture
def app(settings: dict[str, Any]) -> Flask:
    return create_app(settings)


@pytest.fixture
def person() -> type[Person]:
    """Somebody else with a browser of their own: person(app), person(app, address)."""
    return Person


@pytest.fixture
def stranger(app: Flask) -> Person:
    """Someone who is not signed in."""
    return Person(app)


@pytest.fixture
def diver(app: Flask) -> Person:
    """The first diver, signed in, without a season."""
    person = Person(app)
    page = person.sign_up(follow=False)  # it leads to the largest form
    assert page.status == 302, page.words
    return person


@pytest.fixture
def planner_of_may(diver: Person) -> Person:
    """A diver with an active season."""
    page = diver.set_up()
    assert page.status == 200, page.words
    return diver


@pytest.fixture
def names(planner_of_may: Person, clock: Clock) -> dict[str, str]:
    """What the first diver has, by name: a dive, more seasons, crews, a friend."""
    return things_of_the_first(clock())


@pytest.fixture
def other(planner_of_may: Person, names: dict[str, str], app: Flask) -> Person:
    """Another diver, signed in."""
    page = planner_of_may.press("/account/", "/account/invite")
    link = next(given["value"] for _, given in page.tags if given.get("id") == "invitation")
    made = Person(app)
    made.sign_up("Odd Brae", link=link.removeprefix("http://localhost"))
    return made


@pytest.fixture
def diving(planner_of_may: Any, clock: Any) -> Any:
    """A diver who made the first deep dives of the season, each as planned."""
    phone = Phone()
    for day in ("2027-05-03", "2027-05-04", "2027-05-06"):
        phone.put(fields={**DIVE, "date": day, "target_m": 38, "reached_m": 38})
    phone.take(sync.sync(1, phone.request(today=clock().date().isoformat()), clock()))
    return planner_of_may
