"""The history of a record: what each device did, what lost, and a value put back."""

import json
from typing import Any

import pytest
from support.phones import DIVE, Phone, new_id, operation

from webapp import store
from webapp.actions import access, histories, seasons, sync
from webapp.store import feeds, users
from webapp.store.sqlite.database import execute

MAY = {**DIVE, "date": "2027-05-03"}


@pytest.fixture
def two(diver: Any, clock: Any) -> Any:
    """A dive that two phones changed without knowing of each other."""

    def send(phone: Phone) -> None:
        phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))

    boat, home = Phone(), Phone()
    record = boat.put(fields=MAY)
    send(boat)
    send(home)
    boat.put(record, {"note": "cold at 30", "effort": 5})
    home.put(record, {"note": "warm"})
    send(boat)
    send(home)
    return boat, home, record, send


def press(person: Any, record: str, words: str) -> Any:
    """Press the button that puts this value back."""
    page = person.get(f"/history/{record}")
    at = page.html.index(f'<span class="visually-hidden">{words}</span>')
    before = page.html[:at].count("<form")
    form = page.forms[before - 1]
    return person.post(form["action"], form["fields"], follow_redirects=True)


def test_each_step_tells_device_time_and_what_was_changed_from_what(diver: Any, two: Any) -> None:
    boat, _, record, _ = two
    words = diver.get(f"/history/{record}").words

    assert "History of the dive of Mon 3 May 2027, 09:40, FIM" in words
    assert f"Written by device 1 ({boat.device[:4]})" in words
    assert "Arrived Mon 10 May 2027, 09:30 UTC; the device's clock said Tue 1 Apr 2031, 10:00 UTC+02:00" in words
    assert "Effort 4 → 5" in words
    assert "Depth reached 38 m" in words


def test_the_value_that_lost_a_conflict_is_shown_as_such(diver: Any, two: Any) -> None:
    words = diver.get(f"/history/{two[2]}").words

    assert "nothing → cold at 30 lost: another device's later change is shown" in words
    assert "cold at 30 → warm in conflict: this one is shown" in words


def test_the_lost_value_is_put_back_without_script_as_one_more_change_that_every_phone_gets(
    diver: Any, two: Any
) -> None:
    boat, home, record, send = two
    page = press(diver, record, "Note: cold at 30")
    for phone in (boat, home):
        send(phone)

    assert "Note: the earlier value is back" in page.words
    assert "Changed by the shore pages" in page.words
    assert {boat.shows()[record]["note"], home.shows()[record]["note"]} == {"cold at 30"}
    assert len(histories.history(1, record)) == 4
    assert boat.shows()[record]["effort"] == 5


def test_a_lighter_result_is_put_back_with_a_reason_only_and_the_reason_stays(diver: Any, two: Any) -> None:
    boat, _, record, send = two
    send(boat)
    boat.put(record, {"signs": ["cough"]})
    send(boat)
    form = next(
        form
        for form in diver.get(f"/history/{record}").forms
        if form["fields"].get("name") == "signs" and "why" in form["fields"]
    )
    refused = diver.post(form["action"], form["fields"])
    assert refused.status == 400
    assert "Why the result is lighter is missing: what was wrong with the entry?" in refused.words
    send(boat)
    assert boat.shows()[record]["signs"] == ["cough"]

    diver.post(form["action"], {**form["fields"], "why": "coughed before the dive already"})
    send(boat)
    assert boat.shows()[record]["signs"] == []
    assert boat.shows()[record]["lighter_why"] == "coughed before the dive already"


def test_a_heavier_result_needs_no_reason_and_a_reason_is_never_put_back(diver: Any, two: Any) -> None:
    boat, _, record, send = two
    send(boat)
    boat.put(record, {"signs": ["cough"]})
    boat.put(record, {"signs": [], "lighter_why": "a slip"})
    boat.put(record, {"lighter_why": ""})
    send(boat)
    forms = [form for form in diver.get(f"/history/{record}").forms if "op" in form["fields"]]
    assert [form["fields"]["name"] for form in forms if "why" in form["fields"]] == []
    assert "lighter_why" not in [form["fields"]["name"] for form in forms]
    (back,) = [form for form in forms if form["fields"]["name"] == "signs"]
    op = next(step.entry.asked.op for step in histories.history(1, record) if "lighter_why" in step.entry.after)
    typed = {**back["fields"], "op": op, "name": "lighter_why"}
    assert diver.post(back["action"], typed).status == 404
    assert diver.post(back["action"], back["fields"]).status in (200, 302)
    send(boat)
    assert boat.shows()[record]["signs"] == ["cough"]


def test_what_another_device_wrote_since_the_page_was_opened_is_told_as_a_conflict(diver: Any, two: Any) -> None:
    _, home, record, send = two
    form = next(form for form in diver.get(f"/history/{record}").forms if form["fields"].get("name") == "note")
    home.put(record, {"note": "written meanwhile"})
    send(home)
    diver.post(form["action"], form["fields"])
    last = histories.history(1, record)[-1]

    assert last.entry.conflict == ("note",)
    assert "written meanwhile" in diver.get(f"/history/{record}").words


def test_a_deletion_can_be_taken_back(diver: Any, two: Any) -> None:
    boat, _, record, send = two
    send(boat)
    boat.delete(record)
    send(boat)
    assert seasons.log_of(1) == []
    assert "It is deleted now" in diver.get(f"/history/{record}").words

    press(diver, record, "Deleted: yes")

    assert [dive["id"] for dive in seasons.log_of(1)] == [record]


def test_a_deletion_that_lost_against_an_edit_and_a_refused_edit_are_named(diver: Any, two: Any) -> None:
    boat, home, record, send = two
    send(boat)
    home.put(record, {"effort": 7})
    send(home)
    boat.delete(record)
    boat.put(record, {"effort": 99})
    send(boat)
    words = diver.get(f"/history/{record}").words

    assert "A deletion that lost to an edit by device 1" in words
    assert "Refused by device 1" in words
    assert "Effort must be a whole number from" in words


def test_a_record_of_another_diver_or_none_is_not_found(diver: Any, two: Any, app: Any, person: Any) -> None:
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for _, given in page.tags if given.get("id") == "invitation")
    other = person(app)
    other.sign_up("Odd Brae", link=link.removeprefix("http://localhost"))
    token = other.get("/sharing/").form("label")["fields"]["csrf_token"]
    op = histories.history(1, two[2])[0].entry.asked.op
    typed = {"csrf_token": token, "op": op, "name": "effort", "base": "1"}

    assert other.get(f"/history/{two[2]}").status == 404
    assert other.post(f"/history/{two[2]}/put-back", typed).status == 404
    assert diver.get(f"/history/{new_id()}").status == 404
    assert len(histories.history(1, two[2])) == 3


@pytest.mark.parametrize("wrong", [{"op": new_id()}, {"op": ""}, {"name": "no_field"}, {"name": ""}, {"name": "by"}])
def test_a_value_that_never_was_cannot_be_put_back(diver: Any, two: Any, wrong: dict[str, str]) -> None:
    form = next(form for form in diver.get(f"/history/{two[2]}").forms if "op" in form["fields"])

    assert diver.post(form["action"], {**form["fields"], **wrong}).status == 404


def test_a_refused_edit_with_half_a_character_from_an_older_version_breaks_neither_history_nor_download(
    diver: Any, two: Any
) -> None:
    boat, _, record, send = two
    boat.put(record, {"note": "x", "discipline": "odd"})
    send(boat)
    with store.transaction():  # as versions before this one kept what they refused
        half = json.dumps({"note": "\ud800", "discipline": "\udfff"})
        execute("UPDATE journal SET fields = ?, after = ? WHERE status = 'refused'", (half, half))

    page = diver.get(f"/history/{record}")

    assert page.status == 200
    assert r"\ud800" in page.words
    with diver.client.get("/data/export.zip") as response:
        assert response.status_code == 200


def test_a_dive_that_somebody_else_logged_names_them_and_goes_on_naming_that_it_was_somebody_else(
    diver: Any, clock: Any
) -> None:
    with store.transaction():
        odd = users.add_user("Odd Brae", "odd brae", "none", "2027-05-10T09:00:00Z")
        feeds.put_member(1, odd.id, access.whole(["write"]), "2027-05-10T09:00:00Z")
        log = feeds.person_of(1).person
    dive = operation(feed=log, fields=MAY)
    sync.sync(odd.id, Phone().request(today="2027-05-10", user=odd.id, operations=[dive], feeds=[]), clock())
    words = diver.get(f"/history/{dive['record']}").words
    assert "Written by Odd Brae, device 1" in words
    assert "Logged by Odd Brae" in words

    with store.transaction():
        users.delete_user(odd.id)
    assert "Written by someone who has left, device 1" in diver.get(f"/history/{dive['record']}").words
