"""The merge alone, with a check that takes everything, and every order of arrival."""

from itertools import permutations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.protocol.merge import DELETED, merge
from webapp.protocol.values import Operation, Record
from webapp.rulebook.faults import Fault, Refused

FIELDS = ("reached_m", "note", "effort")


def anything(kind: str, fields: dict[str, Any]) -> dict[str, Any]:
    return fields


def put(device: str, base: int = 0, counter: int = 1, **fields: Any) -> Operation:
    return Operation(f"{device}{counter}", device, counter, "dive", "r", "put", fields, base, "t")


def delete(device: str, base: int = 0, counter: int = 1) -> Operation:
    return Operation(f"{device}{counter}", device, counter, "dive", "r", "delete", {}, base, "t")


def arrive(*operations: Operation, known: Record | None = None) -> tuple[Record, list[tuple[str, ...]]]:
    """Let operations arrive in this order; return the record, and what was in conflict at each."""
    conflicts, came = [], []
    for one in operations:
        later = {
            name
            for other in came
            if other.device == one.device and other.counter > one.counter
            for name in (*other.fields, DELETED)
        }
        outcome = merge(known, one, later, anything)
        known = outcome.record
        conflicts.append(outcome.conflict)
        came.append(one)
    assert known is not None
    return known, conflicts


@pytest.fixture
def at_three() -> Record:
    """A dive that every device has seen at rev 3."""
    return arrive(
        put("boat", reached_m=38, note="", effort=4), put("boat", 1, 2, effort=5), put("boat", 2, 3, effort=6)
    )[0]


def test_a_record_that_is_new_here_goes_on_from_the_rev_that_its_phone_has_seen() -> None:
    record, _ = arrive(put("phone", 4, note="cold", effort=3))

    assert (record.rev, record.revs, record.writers) == (5, {"note": 5, "effort": 5}, {"5": "phone"})


def test_what_a_device_wrote_later_is_not_taken_back_in_a_record_that_is_new_here() -> None:
    outcome = merge(None, put("phone", note="cold", effort=3), {"note"}, anything)

    assert (outcome.record.fields, outcome.after) == ({"effort": 3}, {"effort": 3})


def test_different_fields_from_two_devices_are_both_kept(at_three: Record) -> None:
    for order in permutations([put("phone", 3, note="cold"), put("tablet", 3, reached_m=40)]):
        record, conflicts = arrive(*order, known=at_three)

        assert record.fields == {"reached_m": 40, "note": "cold", "effort": 6}
        assert conflicts == [(), ()]


def test_the_same_field_from_two_devices_shows_the_later_arrival_and_names_the_conflict(at_three: Record) -> None:
    record, conflicts = arrive(put("phone", 3, note="cold"), put("tablet", 3, note="warm"), known=at_three)

    assert record.fields["note"] == "warm"
    assert conflicts == [(), ("note",)]


def test_the_same_value_from_two_devices_is_no_conflict(at_three: Record) -> None:
    assert arrive(put("phone", 3, note="cold"), put("tablet", 3, note="cold"), known=at_three)[1] == [(), ()]


def test_an_edit_made_after_seeing_the_other_is_no_conflict(at_three: Record) -> None:
    assert arrive(put("phone", 3, note="cold"), put("tablet", 4, note="warm"), known=at_three)[1] == [(), ()]


def test_a_device_is_never_in_conflict_with_itself(at_three: Record) -> None:
    edits = [put("phone", 3, at, note=str(at)) for at in (1, 2, 3)]
    record, conflicts = arrive(*edits, delete("phone", 3, 4), known=at_three)

    assert record.deleted
    assert record.fields["note"] == "3"
    assert conflicts == [(), (), (), ()]


@pytest.mark.parametrize("delete_first", [True, False])
def test_an_edit_beats_a_deletion_in_either_order_and_the_deletion_stays_visible(
    at_three: Record, delete_first: bool
) -> None:
    edit, deletion = put("phone", 3, note="cold"), delete("tablet", 3)
    record, conflicts = arrive(*((deletion, edit) if delete_first else (edit, deletion)), known=at_three)

    assert not record.deleted
    assert record.fields["note"] == "cold"
    assert conflicts == [(), (DELETED,)]


def test_a_deletion_made_after_seeing_every_edit_holds(at_three: Record) -> None:
    record, conflicts = arrive(put("phone", 3, note="cold"), delete("tablet", 4), known=at_three)

    assert record.deleted
    assert conflicts == [(), ()]


def test_two_deletions_are_one(at_three: Record) -> None:
    record, conflicts = arrive(delete("phone", 3), delete("tablet", 3), known=at_three)

    assert record.deleted
    assert record.rev == 4
    assert conflicts == [(), ()]


def test_a_deletion_can_be_taken_back(at_three: Record) -> None:
    record, conflicts = arrive(delete("phone", 3), put("tablet", 4), known=at_three)

    assert not record.deleted
    assert at_three.fields == record.fields
    assert conflicts == [(), ()]


@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_what_one_device_did_ends_the_same_in_every_order_of_arrival(at_three: Record, order: tuple[int, ...]) -> None:
    made = [
        put("phone", 3, 1, note="a", effort=1),
        delete("phone", 3, 2),
        put("phone", 3, 3, note="b"),
        put("phone", 3, 4, effort=2),
    ]

    record, _ = arrive(*(made[at] for at in order), known=at_three)

    assert record.fields == {"reached_m": 38, "note": "b", "effort": 2}
    assert not record.deleted


def test_a_dive_deleted_before_it_was_ever_sent_stays_deleted_when_it_arrives_late() -> None:
    record, _ = arrive(delete("phone", 0, 2), put("phone", 0, 1, reached_m=38))

    assert record.deleted
    assert record.fields == {"reached_m": 38}


def test_revs_go_on_from_the_phone_when_the_server_was_restored_from_an_older_backup(at_three: Record) -> None:
    record, conflicts = arrive(put("phone", 9, note="cold"), put("tablet", 8, note="warm"), known=at_three)

    assert [record.revs["note"] - 1, record.rev] == [10, 11]
    assert conflicts == [(), ("note",)]


def test_an_edit_that_changes_nothing_leaves_the_rev(at_three: Record) -> None:
    assert at_three == arrive(put("phone", 3, note=""), known=at_three)[0]


def test_the_check_sees_the_merged_record_and_its_faults_come_through(at_three: Record) -> None:
    def strict(kind: str, fields: dict[str, Any]) -> dict[str, Any]:
        assert (kind, fields) == ("dive", {"reached_m": 38, "note": "cold", "effort": 99})
        raise Refused([Fault("effort", "is too much")])

    with pytest.raises(Refused, match="effort: is too much"):
        merge(at_three, put("phone", 3, note="cold", effort=99), set(), strict)


values = st.dictionaries(st.sampled_from(FIELDS), st.integers(0, 3), min_size=1)
edits = st.lists(st.tuples(st.sampled_from(["phone", "tablet"]), st.none() | values), max_size=8)


@given(edits, st.randoms(use_true_random=False))
def test_no_value_goes_without_a_trace(made: list[tuple[str, dict[str, int] | None]], random: Any) -> None:
    """Each device works offline from rev 3; whatever the order, each device's last word shows or was in conflict."""
    start, _ = arrive(put("boat", **dict.fromkeys(FIELDS, 0)), put("boat", 1, 2, note=1), put("boat", 2, 3, note=2))
    operations = [
        put(device, 3, at, **fields) if fields else delete(device, 3, at) for at, (device, fields) in enumerate(made)
    ]
    random.shuffle(operations)
    record, conflicts = arrive(*operations, known=start)

    assert set(record.writers) == {str(rev) for rev in record.revs.values()}
    for name in FIELDS:
        shown = {last_word(operations, device, name, start.fields[name]) for device in ("phone", "tablet")}
        assert record.fields[name] in shown
        if len({*shown, start.fields[name]}) == 3:  # each of the two devices wrote a value of its own
            assert any(name in conflict for conflict in conflicts)
    if len({one.device for one in operations}) == 1:
        assert record.deleted == (max(operations, key=lambda one: one.counter).action == "delete")
        assert not any(conflicts)


def last_word(operations: list[Operation], device: str, name: str, start: object) -> object:
    """Return the value that this device last gave the field."""
    own = [one for one in operations if one.device == device and name in one.fields]
    return max(own, key=lambda one: one.counter).fields[name] if own else start
