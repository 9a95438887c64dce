"""The door that phones come through: only our own page, only JSON, only whoever is signed in, and one error shape."""

import copy
import gzip
import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from io import BytesIO
from typing import Any

import pytest
from support.phones import DIVE, Phone, operation

from webapp import store
from webapp.actions import accounts
from webapp.store import records
from webapp.store.sqlite import database
from webapp.web.app import create_app

OWN = {"Sec-Fetch-Site": "same-origin"}
NAME = "Runa Tidewell"


def post(person: Any, body: object, headers: dict[str, str] | None = None, **kwargs: Any) -> tuple[int, Any]:
    """Post to /sync as the app's page does; return the status and what the JSON says."""
    sent = {
        "data": json.dumps(body),
        "content_type": "application/json",
        "headers": OWN if headers is None else headers,
    }
    with person.client.post("/sync", **{**sent, **kwargs}) as response:
        assert response.mimetype == "application/json", response.text
        assert "no-store" in response.headers["Cache-Control"]
        return response.status_code, response.json


def refusal(answer: tuple[int, Any]) -> tuple[int, str]:
    """Return the status and code of an error, whose shape is always the same."""
    status, body = answer
    assert body["app"] == "lineslate"
    error = body["error"]
    assert {"code", "says", "faults"} == set(error)
    assert error["says"].endswith(".")
    assert all({"field", "says"} == set(fault) for fault in error["faults"])
    return status, error["code"]


def stored() -> int:
    with store.reading():
        return len(records.changes(1, 0, 1000))


def test_a_phone_sends_a_dive_and_reads_it_back(planner_of_may: Any) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2027-05-03"})

    status, answer = post(planner_of_may, phone.request())

    assert status == 200
    assert (answer["app"], answer["user"]) == ("lineslate", {"id": 1, "name": NAME})
    assert [one["status"] for one in answer["results"]] == ["stored"]
    assert answer["snapshot"]["season"]["name"] == "May at Holm"
    assert answer["snapshot"]["sheet"]["disciplines"]["FIM"]["rungs"]


def test_an_answer_is_packed_for_a_weak_signal_and_leaves_out_the_sheet_that_the_phone_has(planner_of_may: Any) -> None:
    def answer(**headers: str) -> Any:
        return planner_of_may.client.post("/sync", json=Phone().request(), headers={**OWN, **headers})

    with answer(**{"Accept-Encoding": "gzip"}) as packed, answer(**{"Accept-Encoding": "identity"}) as plain:
        assert json.loads(gzip.decompress(packed.data)) == plain.json
        assert packed.headers["Content-Encoding"] == "gzip"
        assert len(packed.data) < len(plain.data) / 3
        has = plain.json["snapshot"]["sheet_id"]
    with answer(**{"Lineslate-Sheet": has}) as short:
        assert short.json["snapshot"]["sheet_id"] == has
        assert "sheet" not in short.json["snapshot"]
        assert len(short.data) < 1_000


def test_an_answer_is_one_text_without_a_space_however_its_parts_were_written(planner_of_may: Any) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2027-05-03", "note": 'Øst, "sheet":'})
    with planner_of_may.client.post("/sync", json=phone.request(), headers=OWN) as response:
        answer = response.json
        assert response.text == json.dumps(answer, separators=(",", ":")) + "\n"
    sheet = json.dumps(answer["snapshot"]["sheet"], separators=(",", ":"))
    assert answer["snapshot"]["sheet_id"] == hashlib.sha256(sheet.encode()).hexdigest()


def test_the_same_request_twice_gets_the_same_answer(planner_of_may: Any) -> None:
    phone = Phone()
    phone.put()
    request = phone.request()

    assert post(planner_of_may, request) == post(planner_of_may, copy.deepcopy(request))
    assert stored() == 2  # the dive, and the site of the season


@pytest.mark.parametrize(
    "headers",
    [{"Sec-Fetch-Site": "none"}, {"Origin": "http://localhost"}, {**OWN, "Origin": "http://elsewhere.example"}],
)
def test_our_own_page_is_known_by_its_site_or_its_origin(diver: Any, headers: dict[str, str]) -> None:
    assert post(diver, Phone().request(), headers)[0] == 200


@pytest.mark.parametrize(
    "headers",
    [
        {}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "null"}, {"Origin": ""},
        {"Origin": "http://elsewhere.example"}, {"Origin": "http://localhost.elsewhere.example"},
        {"Origin": "http://localhost:81"}, {"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"},
    ],
)  # fmt: skip
def test_another_site_is_turned_away_even_with_our_cookie(diver: Any, headers: dict[str, str]) -> None:
    assert refusal(post(diver, Phone().request(operations=[operation()]), headers)) == (403, "other_site")
    assert stored() == 0


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "", "text/json"]
)
def test_what_a_form_of_another_site_could_send_is_turned_away(diver: Any, kind: str) -> None:
    assert refusal(post(diver, Phone().request(), content_type=kind)) == (415, "not_json")


def test_whoever_is_signed_out_is_told_to_sign_in(stranger: Any) -> None:
    assert refusal(post(stranger, Phone().request(operations=[operation()]))) == (401, "signed_out")


def test_a_sign_in_that_was_ended_elsewhere_is_worth_nothing(diver: Any, clock: Any) -> None:
    accounts.close_all_sign_ins(1, clock())
    store.close()

    assert refusal(post(diver, Phone().request())) == (401, "signed_out")


@pytest.mark.parametrize("user", [2, "1", [1], {"id": 1}])
def test_records_of_another_diver_are_not_taken(diver: Any, user: object) -> None:
    assert refusal(post(diver, Phone().request(user=user, operations=[operation()]))) == (409, "other_user")
    assert stored() == 0


def test_records_of_the_diver_who_is_signed_in_are_taken(diver: Any) -> None:
    assert post(diver, Phone().request(user=1, operations=[operation()]))[0] == 200


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"null",
        b"[]",
        b"{",
        b'"x"',
        b"\xff\xfe",
        b'{"schema": NaN}',
        b"[" * 100_000,
        b'{"mark": ' + b"9" * 5000 + b"}",
    ],
)
def test_what_is_no_json_is_refused_in_plain_words(diver: Any, data: bytes) -> None:
    assert refusal(post(diver, None, data=data)) == (400, "not_json")


def test_a_faulty_request_names_every_fault_by_its_field(diver: Any) -> None:
    status, answer = post(diver, Phone().request(mark=-1, today="soon"))

    assert (400, {"mark", "today"}) == (status, {fault["field"] for fault in answer["error"]["faults"]})


def test_too_many_operations_are_refused_and_a_hundred_are_not(diver: Any) -> None:
    batch = [operation() for _ in range(101)]

    assert refusal(post(diver, Phone().request(operations=batch))) == (413, "too_large")
    assert stored() == 0
    assert post(diver, Phone().request(operations=batch[:100]))[0] == 200


@pytest.mark.parametrize("told", [True, False])
def test_a_request_of_more_than_256_kb_is_refused_whether_it_tells_its_length_or_not(diver: Any, told: bool) -> None:
    data = json.dumps(Phone().request(operations=[operation(made_at="x" * 300_000)])).encode()
    stream = {"input_stream": BytesIO(data), "environ_overrides": {"wsgi.input_terminated": True}, "data": None}

    assert refusal(post(diver, None, **({"data": data} if told else stream))) == (413, "too_large")


@pytest.mark.parametrize("method", ["get", "put", "delete", "patch"])
def test_the_door_opens_to_post_only(diver: Any, method: str) -> None:
    with getattr(diver.client, method)("/sync", headers=OWN) as response:
        assert response.status_code == 405
        assert response.json["error"]["code"] == "bad_method"


def test_a_phone_that_runs_wild_is_told_how_long_to_wait_and_another_diver_is_not(settings: Any, person: Any) -> None:
    app = create_app({**settings, "SYNC_PER_MINUTE": 3})
    diver, wild = person(app), Phone()
    diver.sign_up()
    wild.put()
    answers = [post(diver, wild.request()) for _ in range(4)]

    assert [status for status, _ in answers] == [200, 200, 200, 429]
    assert refusal(answers[3]) == (429, "too_often")
    with diver.client.post("/sync", json=wild.request(), headers=OWN) as response:
        assert 0 < int(response.headers["Retry-After"]) <= 60
    settings["NOW"].wait(seconds=61)
    assert post(diver, wild.request())[0] == 200


def test_a_file_that_is_locked_for_long_is_told_with_the_time_to_come_back(
    settings: Any, person: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(database.PRAGMAS, "busy_timeout", 20)
    diver, phone = person(create_app(settings)), Phone()
    diver.sign_up()
    form = diver.get("/sharing/").form("label")["fields"]
    phone.put()
    with closing(sqlite3.connect(settings["DATA_FILE"], isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with diver.client.post("/sync", json=phone.request(), headers=OWN) as response:
            assert refusal((response.status_code, response.json)) == (503, "unavailable")
            assert int(response.headers["Retry-After"]) > 0
        page = diver.post("/sharing/make", {**form, "label": "Ebba"})
        assert (page.status, page.form("label")["fields"]["label"]) == (503, "Ebba")
        assert "locked" not in page.html
    assert post(diver, phone.request())[0] == 200
    assert "Ebba" in diver.send(page, "/sharing/make", {}, holding="label").words


def test_a_full_disk_is_told_and_nothing_of_the_batch_is_kept(settings: Any, person: Any) -> None:
    diver, phone = person(create_app(settings)), Phone()
    diver.sign_up()
    for _ in range(60):
        phone.put(fields={**DIVE, "note": "n" * 1800})
    with a_full_disk():
        assert refusal(post(diver, phone.request())) == (503, "unavailable")
        assert diver.get("/seasons/").status == 200
        store.close()
    assert stored() == 0
    assert post(diver, phone.request())[0] == 200
    assert stored() == 60


@contextmanager
def a_full_disk() -> Iterator[None]:
    """Let the file grow no further: SQLite then answers as it does on a full disk."""
    database.PRAGMAS["max_page_count"] = 1
    database.database.init(database.database.database, pragmas=database.PRAGMAS)
    try:
        yield
    finally:
        del database.PRAGMAS["max_page_count"]
        database.database.init(database.database.database, pragmas=database.PRAGMAS)


def test_an_app_that_names_the_kinds_it_reads_is_not_sent_again_what_it_sent_and_an_older_one_is(diver: Any) -> None:
    def changes(**headers: str) -> int:
        phone = Phone()
        for _ in range(20):
            phone.put()
        known = phone.request(epoch=post(diver, Phone().request())[1]["epoch"])
        return len(post(diver, {**known, "mark": 0}, {**OWN, **headers})[1]["changes"])

    assert changes() == 20
    assert changes(**{"Lineslate-Kinds": "clearance,day,dive"}) == 20  # those of the other phone only
