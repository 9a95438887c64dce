"""A new kind of record is a row in the table, its check and its page: everything else follows."""

import csv
import io
import json
import zipfile
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from support.boat import PHONE
from support.phones import Phone
from support.threads import serving

from webapp.actions import sharing, sync
from webapp.protocol.kinds import KINDS, Kind
from webapp.protocol.log import check_log
from webapp.records import labels, model
from webapp.rulebook.checks import Faults
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook
from webapp.web import assets

TIDE = {"day": "2027-05-10", "height_m": 1.5, "where": "at the pier"}


def check_tide(raw: object, book: Rulebook) -> dict[str, Any]:
    """The strict check of the throw-away kind."""
    faults = Faults()
    plain = faults.group(raw, "", ("day", "height_m", "where"))
    tide = {
        "day": faults.day(plain.get("day"), "day"),
        "height_m": faults.number(plain.get("height_m"), "height_m", 0, 12),
        "where": faults.text(plain.get("where"), "where", 40),
    }
    faults.refuse_if_any()
    return tide


@pytest.fixture
def tide(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Register the throw-away kind for one test."""
    fields = {"day": "Day of the tide", "height_m": "Height", "where": "Where"}
    kind = Kind("high tide", "tides.csv", fields, check_tide, day="day", heading=("where",))
    monkeypatch.setitem(KINDS, "tide", kind)
    assets.version.cache_clear()
    yield
    assets.version.cache_clear()


def send(phone: Phone, now: Any, **changes: Any) -> str:
    record = phone.put(**changes)
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), now))
    return record


@pytest.mark.usefixtures("tide")
def test_a_record_of_a_new_kind_is_checked_stored_and_reaches_the_other_phones(planner_of_may: Any, clock: Any) -> None:
    phone, other = Phone(), Phone()
    record = send(phone, clock(), kind="tide", fields=TIDE)
    send(phone, clock(), kind="tide", fields={**TIDE, "height_m": 13})
    other.take(sync.sync(1, other.request(today="2027-05-10"), clock()))

    assert [fault for one in phone.refused for fault in [one["kind"]]] == ["tide"]
    assert other.shows()[record] == TIDE


@pytest.mark.usefixtures("tide")
def test_a_record_of_a_new_kind_is_in_the_export_and_the_log_file_is_read_again(
    planner_of_may: Any, clock: Any
) -> None:
    record = send(Phone(), clock(), kind="tide", fields=TIDE)
    with planner_of_may.client.get("/data/export.zip") as answer:
        archive = zipfile.ZipFile(io.BytesIO(answer.data))
    (row,) = csv.DictReader(io.StringIO(archive.read("tides.csv").decode(), newline=""))
    log = check_log(json.loads(archive.read("log.json")), read_rulebook())

    assert row == {"id": record, "day": "2027-05-10", "height_m": "1.5", "where": "at the pier"}
    assert {"id": record, "kind": "tide", **TIDE} in log


@pytest.mark.usefixtures("tide")
def test_the_history_of_a_new_kind_names_it_and_its_fields(planner_of_may: Any, clock: Any) -> None:
    record = send(Phone(), clock(), kind="tide", fields=TIDE)
    page = planner_of_may.get(f"/history/{record}")

    assert "high tide" in page.words
    assert "Day of the tide" in page.words


@pytest.mark.usefixtures("tide")
def test_a_new_kind_is_planned_around_and_shown_to_no_buddy(planner_of_may: Any, stranger: Any, clock: Any) -> None:
    link = f"/share/{sharing.make_link(1, 'for Ebba', clock())}"
    before = stranger.get(link)
    send(Phone(), clock(), kind="tide", fields=TIDE)
    page = stranger.get(link)

    assert "at the pier" not in page.html
    assert page.html.split('data-share="days"')[1] == before.html.split('data-share="days"')[1]


@pytest.mark.usefixtures("tide")
def test_a_phone_shows_a_record_of_a_new_kind_in_its_log(
    app: Any, planner_of_may: Any, clock: Any, chromium: Browser
) -> None:
    record = send(Phone(), clock(), kind="tide", fields=TIDE)
    with serving(app) as address:
        context = chromium.new_context(**PHONE, service_workers="block")
        context.clock.install(time=clock())
        page = context.new_page()
        page.goto(f"{address}/account/sign-in?next=/boat/log")
        page.get_by_label("Name").fill("Runa Tidewell")
        page.get_by_label("Password").fill("slow kelp drifts")
        page.get_by_role("main").get_by_role("button", name="Sign in").click()
        shown = page.locator(f"[data-record='{record}']")
        expect(shown).to_contain_text("High tide, at the pier")
        context.close()


SITE = {"name": "Invented Bay", "latitude": -43.205758, "longitude": 16.1, "emergency_phone": "+00 112"}


def test_a_site_which_belongs_to_no_day_has_its_history_and_is_in_the_export(planner_of_may: Any, clock: Any) -> None:
    record = send(Phone(), clock(), kind="site", fields=SITE)
    words = planner_of_may.get(f"/history/{record}").words
    with planner_of_may.client.get("/data/export.zip") as answer:
        archive = zipfile.ZipFile(io.BytesIO(answer.data))
    rows = csv.DictReader(io.StringIO(archive.read("sites.csv").decode(), newline=""))
    log = check_log(json.loads(archive.read("log.json")), read_rulebook())

    assert "History of the dive site Invented Bay" in words
    assert "-43.205758°" in words
    assert "Local emergency number" in words
    assert next(row["longitude"] for row in rows if row["id"] == record) == "16.1"
    assert {"id": record, "kind": "site", **SITE} in log


def test_each_code_of_the_records_has_its_label() -> None:
    assert (tuple(labels.DISCIPLINES), tuple(labels.ROLES), tuple(labels.GOALS)) == (
        model.DISCIPLINES, model.ROLES, model.GOALS,
    )  # fmt: skip
    assert set(labels.VERDICTS) == set(read_rulebook().texts["verdict"])


def test_a_log_file_from_before_records_carried_their_kind_is_still_read() -> None:
    old: list[Mapping[str, Any]] = [
        {"id": "a1", "date": "2027-05-03", "discipline": "FIM", "role": "deep", "target_m": 38, "reached_m": 38},
        {"id": "c1", "clearance": "2027-05-20", "by": "Dr. Example"},
    ]
    assert [record["kind"] for record in check_log(old, read_rulebook())] == ["dive", "clearance"]


def test_an_app_is_sent_only_the_kinds_that_it_says_it_can_read(planner_of_may: Any, clock: Any) -> None:
    """The first app says nothing and knows two: any other would make its plan unreadable."""
    phone = Phone()
    send(phone, clock(), kind="day", fields={"date": "2027-05-11", "no_diving": "sick"})
    send(phone, clock(), kind="clearance", fields={"clearance": "2027-05-09", "by": "Dr. Invented"})
    send(phone, clock(), kind="site", fields=SITE)

    def kinds(headers: dict[str, str]) -> list[str]:
        own = {"Sec-Fetch-Site": "same-origin", **headers}
        with planner_of_may.client.post("/sync", json=Phone().request(today="2027-05-10"), headers=own) as answer:
            return [one["kind"] for one in answer.json["changes"]]

    assert kinds({}) == ["clearance"]
    assert kinds({"Lineslate-Kinds": "clearance,day,dive"}) == ["day", "clearance"]
