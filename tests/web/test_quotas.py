"""One diver cannot fill the disk that all share: changes, refused ones and files have an end for each day, in words."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from support.phones import DIVE, Phone

from webapp.actions import seasons
from webapp.web import tries
from webapp.web.app import create_app

FROM_PAGE = {"Sec-Fetch-Site": "same-origin"}


@pytest.fixture
def app(settings: dict[str, Any]) -> Flask:
    return create_app({**settings, "CHANGES_PER_DAY": 20, "REFUSED_PER_DAY": 10, "FILES_PER_DAY": 2})


def send(person: Any, phone: Phone, count: int, **fields: Any) -> tuple[int, Any, Any]:
    for _ in range(count):
        phone.put(fields={**DIVE, "date": "2027-05-03", **fields})
    with person.client.post("/sync", json=phone.request(today="2027-05-10"), headers=FROM_PAGE) as answer:
        if answer.status_code == 200:
            phone.take(answer.get_json())
        return answer.status_code, answer.get_json(), answer.headers.get("Retry-After")


def test_a_diver_who_sends_more_than_a_day_holds_is_told_and_loses_nothing(diver: Any, clock: Any) -> None:
    phone = Phone()
    assert [send(diver, phone, 10)[0] for _ in range(2)] == [200, 200]
    status, said, waits_s = send(diver, phone, 3)
    assert (status, said["error"]["code"], said["error"]["says"]) == (429, "too_often", tries.MUCH)
    assert 0 < int(waits_s) <= 86_400
    assert send(diver, Phone(), 0)[0] == 200, "what is new may be asked for all the same"
    clock.wait(days=1, seconds=1)
    assert send(diver, phone, 0)[0] == 200
    assert len(seasons.log_of(1)) == 23


def test_refused_changes_have_an_end_of_their_own(diver: Any) -> None:
    phone = Phone()
    status, said, _ = send(diver, phone, 10, reached_m=-4)
    assert status == 200
    assert {result["status"] for result in said["results"]} == {"refused"}
    assert send(diver, Phone(), 1)[0] == 429


def test_one_divers_day_is_not_anothers(diver: Any, app: Flask, person: Any) -> None:
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for _, given in page.tags if given.get("id") == "invitation")
    other = person(app)
    other.sign_up("Odd Brae", link=link.removeprefix("http://localhost"))
    assert send(diver, Phone(), 20)[0] == 200
    assert send(diver, Phone(), 1)[0] == 429
    assert send(other, Phone(), 1)[0] == 200


def test_files_have_an_end_too(diver: Any) -> None:
    import io

    def bring() -> int:
        form = diver.get("/data/").form("/data/bring")
        file = (io.BytesIO(b"{}"), "dives.json")
        with diver.client.post("/data/bring", data={**form["fields"], "file": file}) as answer:
            return int(answer.status_code)

    assert [bring() for _ in range(3)] == [400, 400, 429]
