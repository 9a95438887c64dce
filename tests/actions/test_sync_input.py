"""What a phone must not be able to do: no odd input stops the rest, breaks the server, or is half stored."""

import json
from typing import Any
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.phones import DIVE, NOW, Phone, new_id, operation

from webapp import store
from webapp.actions import sync
from webapp.protocol.envelope import TooMuch
from webapp.rulebook.faults import Refused
from webapp.store import records, users
from webapp.store.values import User


def faults(refused: pytest.ExceptionInfo[Refused]) -> set[str]:
    return {fault.field for fault in refused.value.faults}


def counts(user: User) -> tuple[int, int]:
    """Return how many records and journal entries the diver has."""
    with store.reading():
        rows = store.sqlite.database.execute
        return rows("SELECT count(*) FROM record").fetchone()[0], rows("SELECT count(*) FROM journal").fetchone()[0]


def test_one_refused_operation_of_many_holds_up_none_and_tells_every_fault(send: Any, runa: User) -> None:
    batch = [operation() for _ in range(50)]
    batch[20]["fields"] = {**DIVE, "reached_m": 900, "effort": 11, "signs": ["tired"], "depth": 3}

    answer = send(Phone(), operations=batch)

    refused = [one for one in answer["results"] if one["status"] == "refused"]
    assert [batch[20]["op"]] == [one["op"] for one in refused]
    assert {"reached_m", "effort", "signs", "depth"} == {fault["field"] for fault in refused[0]["faults"]}
    assert counts(runa) == (49, 50)
    assert [one["op"] for one in batch] == [one["op"] for one in answer["results"]]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"kind": "swim"}, "kind"), ({"action": "burn"}, "action"), ({"op": "7"}, "op"), ({"record": None}, "record"),
        ({"fields": []}, "fields"), ({"base": -1}, "base"), ({"base": True}, "base"), ({"counter": 1.5}, "counter"),
        ({"counter": 10**30}, "counter"), ({"made_at": "<now>"}, "made_at"), ({"schema": 2}, "schema"),
        ({"schema": True}, "schema"), ({"sign": 1}, "sign"), ({"kind": "clearance"}, "clearance"),
    ],
)  # fmt: skip
def test_an_operation_that_cannot_be_read_is_refused_by_field_and_its_neighbours_go_on(
    send: Any, runa: User, change: dict[str, Any], field: str
) -> None:
    answer = send(Phone(), operations=[operation(), {**operation(), **change}, operation()])

    assert [one["status"] for one in answer["results"]] == ["stored", "refused", "stored"]
    assert field in {fault["field"] for fault in answer["results"][1]["faults"]}


@pytest.mark.parametrize("odd", [None, 7, "dive", [], {}, {"op": {}}])
def test_what_is_no_operation_at_all_is_refused_too(send: Any, odd: object) -> None:
    answer = send(Phone(), operations=[odd, operation()])

    assert [one["status"] for one in answer["results"]] == ["refused", "stored"]


def test_a_record_holds_what_was_checked_and_the_journal_what_was_sent(send: Any) -> None:
    timed, noted = operation(fields={**DIVE, "dive_s": 82.0}), operation()
    edited = operation(noted["record"], fields={"note": "calm"}, counter=2)

    send(Phone(), operations=[timed, noted, edited])

    with store.reading():
        rows = store.sqlite.database.execute
        kept, sent = dict(rows("SELECT record, fields FROM record")), dict(rows("SELECT op, fields FROM journal"))
    assert {"dive_s": 82, "note": ""}.items() <= json.loads(kept[timed["record"]]).items()
    assert '"dive_s":82,' in kept[timed["record"]]
    assert '"dive_s":82.0,' in sent[timed["op"]]
    assert json.loads(kept[noted["record"]]) == {**DIVE, "note": "calm"}


def test_a_record_cannot_become_another_kind(send: Any) -> None:
    record = new_id()
    change = {"kind": "clearance", "fields": {"clearance": "2031-04-01", "by": "Dr Ames"}}

    answer = send(Phone(), operations=[operation(record), {**operation(record), **change}])

    assert [[one["status"], [fault["field"] for fault in one["faults"]]] for one in answer["results"]] == [
        ["stored", []],
        ["refused", ["kind"]],
    ]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"schema": 0}, "schema"), ({"device": "mine"}, "device"), ({"mark": -1}, "mark"), ({"mark": "1"}, "mark"),
        ({"today": "1 April"}, "today"), ({"utc_offset_min": 5000}, "utc_offset_min"),
        ({"operations": {}}, "operations"),
        ({"epoch": 7}, "epoch"), ({"cursor": 1}, "cursor"),
    ],
)  # fmt: skip
def test_a_faulty_request_is_refused_by_field_and_stores_nothing(
    runa: User, change: dict[str, Any], field: str
) -> None:
    phone = Phone()
    phone.put()

    with pytest.raises(Refused) as refused:
        sync.sync(runa.id, {**phone.request(), **change}, NOW)

    assert {field} == faults(refused)
    assert counts(runa) == (0, 0)


def test_more_operations_than_the_server_takes_at_once_store_nothing(runa: User) -> None:
    with pytest.raises(TooMuch):
        sync.sync(runa.id, Phone().request(operations=[operation() for _ in range(101)]), NOW)

    assert counts(runa) == (0, 0)


@pytest.mark.parametrize("made_at", ["2099-01-01T00:00:00Z", "1970-01-01T00:00:00+14:00"])
def test_no_dive_is_refused_for_a_clock_that_goes_wrong(send: Any, made_at: str) -> None:
    assert send(Phone(), operations=[operation(made_at=made_at)])["results"][0]["status"] == "stored"


odd_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
names = st.sampled_from([*DIVE, "op", "kind", "record", "action", "fields", "base", "counter", "made_at", "schema"])


@given(st.dictionaries(names, odd_json, max_size=3), st.dictionaries(names, odd_json, max_size=3))
def test_whatever_stands_in_an_operation_its_neighbour_is_stored(
    file_of_many: User, fields: dict[str, Any], around: dict[str, Any]
) -> None:
    odd = {**operation(), "fields": {**DIVE, **fields}, **{key: around[key] for key in around if key not in DIVE}}
    whole = operation(op=str(uuid4()), record=str(uuid4()))

    answer = sync.sync(file_of_many.id, Phone().request(operations=[odd, whole], mark=10**8), NOW)

    assert answer["results"][1]["status"] == "stored"
    assert answer["results"][0]["status"] in ("stored", "refused")
    with store.transaction():
        assert whole["record"] in records.get_records(file_of_many.id, [whole["record"]])


@pytest.fixture(scope="module")
def file_of_many(tmp_path_factory: pytest.TempPathFactory) -> Any:
    store.open_store(tmp_path_factory.mktemp("many") / "lineslate.sqlite3")
    with store.transaction():
        user = users.add_user("Runa", "runa", "none", "t")
    yield user
    store.close()


@pytest.mark.parametrize("name", ["op", "record", "kind", "action", "made_at", "device"])
def test_half_a_character_in_a_name_is_refused(send: Any, name: str, runa: User) -> None:
    if name == "device":
        with pytest.raises(Refused):
            sync.sync(runa.id, Phone().request(device="\ud800"), NOW)
    else:
        (answer,) = send(Phone(), operations=[operation(**{name: "\ud800"})])["results"]
        assert (answer["status"], [fault["field"] for fault in answer["faults"]]) == ("refused", [name])


def test_half_a_character_in_a_dive_is_refused_and_holds_up_no_other(send: Any, runa: User) -> None:
    batch = [operation(fields={**DIVE, "note": "grey \ud800"}), operation(), operation(fields={**DIVE, "\udfff": 1})]

    answers = send(Phone(), operations=batch)["results"]

    assert [one["status"] for one in answers] == ["refused", "stored", "refused"]
    assert answers[0]["faults"] == [
        {"field": "note", "says": "must be text of whole characters: it contains half of one"}
    ]
    assert [fault["field"] for fault in answers[2]["faults"]] == [r"\udfff"]


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), float("nan")])
@pytest.mark.parametrize("name", ["reached_m", "effort", "note", "signs"])
def test_a_number_that_is_not_finite_is_refused_by_its_name_and_never_reaches_the_journal(
    send: Any, runa: User, name: str, value: float
) -> None:
    (answer,) = send(Phone(), operations=[operation(fields={**DIVE, name: [value] if name == "signs" else value})])[
        "results"
    ]

    assert (answer["status"], [fault["field"] for fault in answer["faults"]]) == ("refused", [name])
    assert counts(runa) == (0, 0)


@pytest.mark.parametrize("value", ["\ud800", ["\udfff"], {"\ud800": 1}, {"deep": [[{"in": "a\ud800b"}]]}])
def test_half_a_character_anywhere_in_a_field_is_refused_by_its_name_and_never_reaches_the_journal(
    send: Any, runa: User, value: object
) -> None:
    for name in ("note", "date", "signs", "target_m"):
        (answer,) = send(Phone(), operations=[operation(fields={**DIVE, name: value})])["results"]
        assert (answer["status"], [fault["field"] for fault in answer["faults"]]) == ("refused", [name])
    assert counts(runa) == (0, 0)
