"""The decisions on a batch, without a file: the order of arrival, and one operation that breaks the check."""

from itertools import permutations
from typing import Any

import pytest
from support.phones import new_id, operation

from webapp.protocol.batch import Existing, decide, read_all
from webapp.protocol.merge import Check

NOTHING = Existing({}, {})


def anything(kind: str, fields: dict[str, Any]) -> dict[str, Any]:
    return fields


def batch(*raws: dict[str, Any], existing: Existing = NOTHING, check: Check = anything) -> Any:
    return decide(read_all(raws, "phone"), existing, "t", check)


def test_an_operation_that_breaks_the_check_is_refused_unjournalled_and_holds_up_none(
    caplog: pytest.LogCaptureFixture,
) -> None:
    def fragile(kind: str, fields: dict[str, Any]) -> dict[str, Any]:
        return {**fields, "note": 1 / fields["effort"]}

    sent = [operation(fields={"effort": effort}) for effort in (1, 0, 2)]

    decided = batch(*sent, check=fragile)

    assert [one["status"] for one in decided.answers] == ["stored", "refused", "stored"]
    assert [sent[0]["op"], sent[2]["op"]] == [entry.asked.op for entry in decided.entries]
    assert [sent[1]["op"] in line.getMessage() for line in caplog.records] == [True]


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_a_batch_out_of_its_phones_order_ends_the_same(order: tuple[int, ...]) -> None:
    record = new_id()
    made = [
        operation(record, counter=1, fields={"note": "a", "effort": 1}),
        operation(record, counter=2, fields={"note": "b"}),
        operation(record, counter=3, fields={"effort": 3}),
    ]

    decided = batch(*(made[at] for at in order))

    assert decided.records[record].fields == {"note": "b", "effort": 3}
    assert [one["conflict"] for one in decided.answers] == [[], [], []]
