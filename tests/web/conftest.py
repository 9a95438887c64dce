"""People who use the shore: each has a browser without script, and reads pages as a person does."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from support.begun import CHEAP, Begun, kept
from support.phones import DIVE, Phone
from support.routes import things_of_the_first
from support.shown import Page
from support.typed import SEASON

from webapp.actions import accounts, sync
from webapp.web.app import create_app

START = datetime(2027, 5, 10, 9, 30, tzinfo=UTC)
NAME, PASSWORD = "Runa Tidewell", "slow kelp drifts"


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
    monkeypatch.setattr(accounts, "METHOD", CHEAP)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def begun(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Begun]:
    """What a person has made when the fixture of this name is ready: to do it anew was a third of these tests."""
    folder = tmp_path_factory.mktemp("begun")
    asked, found = settings_of(folder / "lineslate.sqlite3", Clock()), {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(accounts, "METHOD", CHEAP)
        made = Person(create_app(asked))
        found["app"] = kept(Path(asked["DATA_FILE"]), folder / "app")
        page = made.sign_up(follow=False)  # it leads to the largest form
        assert page.status == 302, page.words
        found["diver"] = kept(Path(asked["DATA_FILE"]), folder / "diver", made.client)
        page = made.set_up()
        assert page.status == 200, page.words
        found["planner_of_may"] = kept(Path(asked["DATA_FILE"]), folder / "planner_of_may", made.client)
    return found


def settings_of(file: Path, clock: Clock) -> dict[str, Any]:
    clocks = {"NOW": clock, "SECONDS": clock.seconds}
    return {"DATA_FILE": str(file), "TESTING": True, "PROPAGATE_EXCEPTIONS": False, **clocks}


@pytest.fixture
def beginning(begun: dict[str, Begun], request: pytest.FixtureRequest) -> Begun:
    """The most that this test asks for of what is ready."""
    return next(begun[name] for name in ("planner_of_may", "diver", "app") if name in (*request.fixturenames, "app"))


@pytest.fixture
def settings(tmp_path: Path, clock: Clock, beginning: Begun) -> dict[str, Any]:
    """The settings of this test's app; its data file is there already, as it was after its beginning."""
    file = tmp_path / "lineslate.sqlite3"
    beginning.copy_to(file)
    return settings_of(file, clock)


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
def diver(app: Flask, beginning: Begun) -> Person:
    """The first diver, signed in, without a season."""
    person = Person(app)
    beginning.sign_in(person.client)
    return person


@pytest.fixture
def planner_of_may(diver: Person) -> Person:
    """A diver with an active season."""
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
