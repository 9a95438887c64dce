"""One's data: taken as open files, brought by hand, deleted for good."""

import csv
import io
import json
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from support.phones import DIVE, Phone, operation

from webapp import store
from webapp.actions import seasons, sharing, sync
from webapp.planner.plan import plan_of
from webapp.protocol.log import check_log
from webapp.rulebook_file import read_rulebook
from webapp.store import seasons as rows

NAME, PASSWORD = "Runa Tidewell", "slow kelp drifts"
MAY = {**DIVE, "date": "2027-05-03"}


def log(phone: Phone, now: Any, user_id: int = 1) -> None:
    phone.take(sync.sync(user_id, phone.request(today="2027-05-10"), now))


def archive(person: Any) -> dict[str, str]:
    with person.client.get("/data/export.zip") as response:
        assert response.status_code == 200
        assert "no-store" in response.headers["Cache-Control"]
        assert response.headers["Content-Disposition"].startswith("attachment")
        with zipfile.ZipFile(io.BytesIO(response.data)) as packed:
            return {name: packed.read(name).decode() for name in packed.namelist()}


def unsent(*operations: dict[str, Any], **changes: Any) -> bytes:
    """The file that a phone saves."""
    plain = {"app": "lineslate", "schema": 1, "device": Phone().device, "user": None, "parked": [], "records": []}
    return json.dumps({**plain, "operations": operations, **changes}).encode()


def bring(person: Any, data: bytes) -> Any:
    """Choose the file and press the button; written out, as the test client leaves large files of its own open."""
    token = person.get("/data/").form("/data/bring")["fields"]["csrf_token"]
    mark, head = "part-of-the-form", "Content-Disposition: form-data; name="
    parts = [
        f'--{mark}\r\n{head}"csrf_token"\r\n\r\n{token}\r\n'.encode(),
        f'--{mark}\r\n{head}"file"; filename="unsent.json"\r\n\r\n'.encode() + data + b"\r\n",
        f"--{mark}--\r\n".encode(),
    ]
    return person.post("/data/bring", b"".join(parts), content_type=f"multipart/form-data; boundary={mark}")


def test_everything_is_in_the_archive_and_the_planner_reads_it(planner_of_may: Any, clock: Any) -> None:
    phone = Phone()
    record = phone.put(fields={**MAY, "note": '=cmd, "cold"', "signs": ["ears_slow"]})
    phone.put(kind="clearance", fields={"clearance": "2027-05-09", "by": "Dr. Invented"})
    phone.put(record, {"effort": 99})
    log(phone, clock())
    sharing.make_link(1, "for Ebba", clock())
    files = archive(planner_of_may)

    assert set(files) == {
        "account.json", "log.json", "history.json", "season-1.json", "dives.csv", "clearances.csv",
        "days.csv", "sites.csv", "focuses.csv", "measures.csv", "proposals.csv", "reviews.csv", "plan.ics",
    }  # fmt: skip
    account, entries = json.loads(files["account.json"]), json.loads(files["history.json"])
    assert (account["name"], account["links"][0]["label"]) == (NAME, "for Ebba")
    assert account["seasons"] == [
        {"file": "season-1.json", "name": "May at Holm", "active": True, "deleted": False,
         "changed_at": "2027-05-10T09:30:00Z"}
    ]  # fmt: skip
    assert [(entry["asked"]["kind"], entry["status"]) for entry in entries] == [
        ("site", "stored"), ("dive", "stored"), ("clearance", "stored"), ("dive", "refused"),
    ]  # fmt: skip
    checked = check_log(json.loads(files["log.json"]), read_rulebook())
    assert plan_of(json.loads(files["season-1.json"]), checked, "2027-05-10", read_rulebook()) == plan_of(
        seasons.get_season(1, 1).raw, seasons.log_of(1), "2027-05-10", read_rulebook()
    )
    (row,) = csv.DictReader(io.StringIO(files["dives.csv"], newline=""))
    assert (row["id"], row["note"], row["signs"], row["reached_m"]) == (record, '\'=cmd, "cold"', "ears_slow", "38")
    assert "Dr. Invented" in files["clearances.csv"]
    assert "SUMMARY:Deep day: FIM" in files["plan.ics"]


def test_a_season_that_newer_rules_refuse_keeps_nobody_from_leaving_and_tells_a_buddy_nothing(
    planner_of_may: Any, stranger: Any, clock: Any
) -> None:
    link = f"/share/{sharing.make_link(1, '', clock())}"
    with store.transaction():
        rows.change_season(1, "May at Holm", {**rows.get_season(1, 1).raw, "days_on": "of an older kind"}, "t")
    page = stranger.get(link)

    assert "plan.ics" not in archive(planner_of_may)
    assert "of an older kind" in archive(planner_of_may)["season-1.json"]
    assert (page.status, "days_on" in page.html) == (200, False)


def test_nothing_secret_and_nothing_of_another_diver_is_in_the_archive(
    planner_of_may: Any, app: Any, person: Any, clock: Any
) -> None:
    other = second(planner_of_may, app, person)
    log(one := Phone(), clock(), 2)
    one.put(fields={**MAY, "note": "of another diver"})
    log(one, clock(), 2)
    token = sharing.make_link(1, "", clock())
    text = "".join(archive(planner_of_may).values())

    assert "another diver" not in text
    assert "another diver" in "".join(archive(other).values())
    assert token not in text
    assert "scrypt" not in text


def second(diver: Any, app: Any, person: Any) -> Any:
    page = diver.press("/account/", "/account/invite")
    link = next(given["value"] for tag, given in page.tags if given.get("id") == "invitation")
    other = person(app)
    other.sign_up("Odd Brae", link=link.removeprefix("http://localhost"))
    return other


def test_a_phones_file_is_taken_in_and_the_same_file_and_the_phone_itself_double_nothing(
    diver: Any, clock: Any
) -> None:
    phone = Phone()
    record = phone.put(fields=MAY)
    phone.put(record, {"effort": 6})
    data = unsent(*phone.outbox, device=phone.device, user=1)

    first, again = bring(diver, data), bring(diver, data)
    log(phone, clock())

    assert "2 changes from the file are stored" in first.words
    assert "2 changes from the file are stored" in again.words
    assert phone.outbox == []
    assert phone.refused == []
    assert [(dive["id"], dive["effort"]) for dive in seasons.log_of(1)] == [(record, 6)]


def test_what_was_parked_is_tried_too_and_what_cannot_be_taken_is_named_with_its_reason(diver: Any) -> None:
    good, bad = operation(fields=MAY), operation(fields={**MAY, "reached_m": 5000})
    parked = {**operation(fields={**MAY, "at": "11:11"}), "faults": [{"field": "", "says": "was too much"}]}
    page = bring(diver, unsent(good, bad, "x", {}, parked=[parked, bad]))

    assert "2 changes from the file are stored" in page.words
    assert "4 could not be stored" in page.words
    assert "2027-05-03 09:40 FIM : reached_m must be a number from" in page.words
    assert {dive["at"] for dive in seasons.log_of(1)} == {"09:40", "11:11"}


@pytest.mark.parametrize(
    "data",
    [
        b"", b"{", b"[]", b"null", b"\xff\xfe", b"[" * 100_000, b'{"app": "lineslate"}', unsent(app="elsewhere"),
        unsent(parked={}), b'{"app": NaN}',
    ],
)  # fmt: skip
def test_what_is_no_file_of_ours_is_refused_in_words_beside_the_field(diver: Any, data: bytes) -> None:
    page = bring(diver, data)

    assert page.status == 400
    assert "not a file of unsent dives" in page.fault_of("file")


def test_no_file_at_all_is_named(diver: Any) -> None:
    fields = diver.get("/data/").form("/data/bring")["fields"]
    page = diver.post("/data/bring", fields, content_type="multipart/form-data")

    assert (page.status, page.fault_of("file")) == (400, "Is missing: choose a file.")


def test_a_file_of_another_diver_is_not_taken(diver: Any) -> None:
    page = bring(diver, unsent(operation(fields=MAY), user=2))

    assert page.status == 400
    assert "another diver" in page.fault_of("file")
    assert seasons.log_of(1) == []


def test_a_file_of_two_thousand_dives_is_taken_and_a_larger_one_than_allowed_is_refused_whole(diver: Any) -> None:
    many = [operation(fields={**MAY, "note": "n" * 200}, counter=at + 1) for at in range(2000)]

    assert "2000 changes from the file are stored" in bring(diver, unsent(*many)).words
    assert len(seasons.log_of(1)) == 2000
    assert bring(diver, unsent(operation(), note="x" * (5 * 1024 * 1024))).status == 413
    assert bring(diver, unsent(*({} for _ in range(5001)))).status == 413


def test_an_account_is_deleted_with_everything_in_it_down_to_the_bytes_of_the_file(
    planner_of_may: Any, app: Any, person: Any, clock: Any, settings: Any
) -> None:
    other = second(planner_of_may, app, person)
    phone, note = Phone(), "a note that nobody else may read"
    phone.put(fields={**MAY, "note": note})
    log(phone, clock())
    token = sharing.make_link(1, "for Ebba", clock())
    page = planner_of_may.fill("/data/", {"typed_name": "runa tidewell", "password": PASSWORD}, holding="/data/delete")
    store.close()

    assert "The account is deleted" in page.words
    assert planner_of_may.get("/data/").status == 302
    assert person(app).sign_in().status == 400
    assert person(app).get(f"/share/{token}").status == 404
    assert other.get("/data/").status == 200
    with closing(sqlite3.connect(settings["DATA_FILE"])) as connection:
        assert connection.execute("SELECT name FROM user").fetchall() == [("Odd Brae",)]
        assert connection.execute("SELECT count(*) FROM journal").fetchone() == (0,)
    held = b"".join(one.read_bytes() for one in Path(settings["DATA_FILE"]).parent.glob("lineslate.sqlite3*"))
    assert not [word for word in (note, "May at Holm", "for Ebba", NAME) if word.encode() in held]


def test_what_was_deleted_is_gone_from_the_file_and_its_log_although_somebody_was_reading(
    planner_of_may: Any, app: Any, person: Any, clock: Any, settings: Any
) -> None:
    other, phone = second(planner_of_may, app, person), Phone()
    first, second_note = "the note as it was first", "and as it was changed later"
    record = phone.put(fields={**MAY, "note": first})
    log(phone, clock())
    phone.put(record, {**MAY, "note": second_note})
    log(phone, clock())
    with closing(sqlite3.connect(settings["DATA_FILE"], isolation_level=None)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM journal").fetchone()
        planner_of_may.fill("/data/", {"typed_name": NAME, "password": PASSWORD}, holding="/data/delete")
        assert words_left(settings, first)
        reader.execute("COMMIT")  # and it stays connected: SQLite folds the log only after the last one
        other.get("/data/")
        assert not words_left(settings, first, second_note, "May at Holm", NAME)


def words_left(settings: Any, *words: str) -> list[str]:
    files = Path(settings["DATA_FILE"]).parent.glob("lineslate.sqlite3*")
    held = b"".join(one.read_bytes() for one in files)
    return [word for word in words if word.encode() in held]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"typed_name": "Odd Brae", "password": PASSWORD}, "typed_name"),
        ({"typed_name": NAME, "password": "x"}, "password"),
    ],
)
def test_without_the_right_name_and_password_nothing_is_deleted(
    planner_of_may: Any, typed: dict[str, str], field: str
) -> None:
    page = planner_of_may.fill("/data/", typed, holding="/data/delete")

    assert page.status == 400
    assert page.fault_of(field)
    assert page.form("/data/delete")["fields"]["typed_name"] == typed["typed_name"]
    assert "May at Holm" in planner_of_may.get("/seasons/").words


def test_guessing_the_password_of_a_deletion_has_to_wait(diver: Any) -> None:
    wrong = {"typed_name": NAME, "password": "guess"}
    statuses = [diver.fill("/data/", wrong, holding="/data/delete").status for _ in range(9)]

    assert statuses == [400] * 8 + [429]
    assert diver.fill("/data/", {**wrong, "password": PASSWORD}, holding="/data/delete").status == 429


def test_half_a_character_in_a_file_is_told_with_its_dive_and_breaks_no_page(diver) -> None:
    odd = [
        operation(fields={**MAY, "note": "\ud800"}),
        operation(fields={**MAY, "\udfff": 1}),
        operation(kind="\ud800"),
        operation(fields={**MAY, "at": "\ud800"}),
        operation(op="\ud800"),
    ]
    for device in (Phone().device, None):
        page = bring(diver, unsent(*odd[::-1], device=device))
        assert page.status == 200
        assert "contains half of one" in page.words
        assert r"\ud800" in page.words
    assert "history.json" in archive(diver)
