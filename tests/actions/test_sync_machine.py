"""Three phones and a bad network: whatever happens on the way, all end with one log and nothing is lost."""

import copy
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from support.phones import DIVE, NOW, OlderApp, Phone

from webapp import store
from webapp.actions import seasons, sync
from webapp.store import journal, records, users

phones = st.integers(0, 2)
picks = st.integers(0, 10)
changes = st.dictionaries(
    st.sampled_from(["note", "effort", "reached_m"]), st.integers(1, 9), min_size=1, max_size=2
).map(lambda fields: {name: f"note {value}" if name == "note" else value for name, value in fields.items()})


class Phones(RuleBasedStateMachine):
    """Edits on three devices; requests and answers that are lost, late, doubled and out of order."""

    keeps_own = False
    app: type[Phone] = OlderApp

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.phones = [self.app() for _ in range(3)]
        self.copies = [self.app() for _ in range(3)]
        self.ether: list[dict[str, Any]] = []  # requests that the network may still deliver
        self.late: list[tuple[Phone, dict[str, Any]]] = []  # answers that may still arrive
        self.made: dict[str, dict[str, Any]] = {}
        self.deleted: set[str] = set()  # the network may still deliver one that its phone has forgotten
        self.first_answers: dict[str, dict[str, Any]] = {}
        self.numbers: dict[str, int] = {}

    @initialize()
    def open_file(self) -> None:
        store.open_store(Path(self.folder.name) / "lineslate.sqlite3")
        with store.transaction():
            self.user = users.add_user("Runa", "runa", "none", "t").id

    def teardown(self) -> None:
        try:
            self.settle()
        finally:
            store.close()
            self.folder.cleanup()

    @rule(at=phones, fields=changes)
    def log_a_dive(self, at: int, fields: dict[str, Any]) -> None:
        self.write(self.phones[at], lambda phone: phone.put(fields={**DIVE, **fields}))

    @rule(at=phones, pick=picks, fields=changes)
    def edit(self, at: int, pick: int, fields: dict[str, Any]) -> None:
        self.on_one_of_the_records(at, pick, lambda phone, record: phone.put(record, fields))

    @rule(at=phones, pick=picks)
    def delete(self, at: int, pick: int) -> None:
        self.on_one_of_the_records(at, pick, lambda phone, record: phone.delete(record))

    @rule(at=phones, most=st.integers(1, 4))
    def sync_well(self, at: int, most: int) -> None:
        phone = self.phones[at]
        phone.take(self.serve(phone.request(most)))

    @rule(at=phones, most=st.integers(1, 4))
    def lose_the_answer(self, at: int, most: int) -> None:
        phone = self.phones[at]
        self.late.append((phone, self.serve(phone.request(most))))

    @rule(at=phones, most=st.integers(1, 4))
    def hold_the_request_up(self, at: int, most: int) -> None:
        self.ether.append(self.phones[at].request(most))

    @precondition(lambda self: self.ether)
    @rule(pick=picks)
    def deliver_late_and_perhaps_again(self, pick: int) -> None:
        self.serve(copy.deepcopy(self.ether[pick % len(self.ether)]))

    @precondition(lambda self: self.late)
    @rule(pick=picks)
    def let_a_late_answer_arrive(self, pick: int) -> None:
        phone, answer = self.late[pick % len(self.late)]
        phone.take(copy.deepcopy(answer))

    @rule(at=phones)
    def keep_a_copy_of_its_storage(self, at: int) -> None:
        self.copies[at] = copy.deepcopy(self.phones[at])

    @rule(at=phones)
    def put_the_copy_back(self, at: int) -> None:
        """What was written since and never sent is gone with the storage; all the rest must survive."""
        there = {one["op"] for one in self.copies[at].outbox}
        gone = {one["op"] for one in self.phones[at].outbox} - there
        with store.reading():
            gone -= set(journal.find_entries(self.user, gone))
        self.phones[at] = copy.deepcopy(self.copies[at])
        self.made = {op: one for op, one in self.made.items() if op not in gone}

    @invariant()
    def change_numbers_only_grow(self) -> None:
        with store.reading():
            feed = records.changes(self.user, 0, 10_000)
            assert [one.seq for one in feed] == sorted({one.seq for one in feed})
            assert not feed or feed[-1].seq <= records.last_number(self.user)
        for one in feed:
            assert one.seq >= self.numbers.get(one.record, 0)
            self.numbers[one.record] = one.seq

    @invariant()
    def every_operation_is_on_its_phone_or_in_the_journal(self) -> None:
        waiting = {one["op"] for phone in self.phones for one in phone.outbox}
        with store.reading():
            kept = journal.find_entries(self.user, self.made)
        assert set(self.made) == waiting | set(kept)

    def on_one_of_the_records(self, at: int, pick: int, do: Callable[[Phone, str], str]) -> None:
        phone = self.phones[at]
        there = sorted({*phone.known, *(one["record"] for one in phone.outbox)})
        if there:
            self.write(phone, lambda one: do(one, there[pick % len(there)]))

    def write(self, phone: Phone, do: Callable[[Phone], str]) -> None:
        do(phone)
        self.made[phone.outbox[-1]["op"]] = copy.deepcopy(phone.outbox[-1])
        if phone.outbox[-1]["action"] == "delete":
            self.deleted.add(phone.outbox[-1]["record"])

    def serve(self, request: dict[str, Any]) -> dict[str, Any]:
        answer = sync.sync(self.user, request, NOW, keeps_own=self.keeps_own)
        for marked in answer["results"]:
            result = {name: value for name, value in marked.items() if name != "as_sent"}  # only the first time
            assert self.first_answers.setdefault(result["op"], result) == result
        return answer

    def settle(self) -> None:
        """Let the network heal: late requests and answers come in, then all sync until nothing is new."""
        for request in self.ether:
            self.serve(copy.deepcopy(request))
        for phone in [*self.phones, *self.phones]:
            phone.take(self.serve(phone.request()))
        for phone, answer in self.late:
            phone.take(copy.deepcopy(answer))
        server = {one["id"]: {name: one[name] for name in DIVE} for one in seasons.log_of(self.user)}
        for phone in self.phones:
            assert phone.outbox == []
            assert server == phone.shows()
        with store.reading():
            kept = journal.find_entries(self.user, self.made)
        for op, sent in self.made.items():
            assert sent["fields"] == kept[op].asked.fields, op
        self.nothing_undone(server)

    def nothing_undone(self, server: dict[str, Any]) -> None:
        """Each dive that no phone ever deleted is still there."""
        stored = {op for op, result in self.first_answers.items() if result["status"] == "stored"}
        kept = {one["record"] for op, one in self.made.items() if op in stored}
        assert kept - self.deleted <= set(server)


class NewPhones(Phones):
    """The same with phones that are not sent again what they have sent, and look at the counter of an answer."""

    keeps_own = True
    app = Phone


TestPhones = Phones.TestCase
TestNewPhones = NewPhones.TestCase
TestPhones.settings = TestNewPhones.settings = settings(max_examples=60, stateful_step_count=25)
