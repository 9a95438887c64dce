"""One phone and the server: what is answered, what is kept, what is refused."""

import copy
import sqlite3
from contextlib import closing
from cProfile import Profile
from datetime import timedelta
from pathlib import Path
from pstats import Stats
from typing import Any

import pytest
from support.phones import DIVE, NOW, SEASON, Phone, new_id, operation
from support.restoring import renew_epoch

from webapp import store
from webapp.actions import histories, seasons, sync
from webapp.actions.errors import NotFound
from webapp.actions.sync import PAGE
from webapp.rulebook.faults import Refused
from webapp.store import journal, users
from webapp.store.values import User

FAR_APART = {"pace.swim_m_s": 2, "pace.fall_m_s": 0.3, "fall.from_m": 5, "speed.FIM": 1.6}


def counts(user: User) -> tuple[int, int]:
    """Return how many records and journal entries the diver has."""
    with store.reading():
        rows = store.sqlite.database.execute
        return rows("SELECT count(*) FROM record").fetchone()[0], rows("SELECT count(*) FROM journal").fetchone()[0]


def test_a_dive_is_stored_and_comes_back_as_a_change(send: Any) -> None:
    phone = Phone()
    record = phone.put()

    answer = send(phone)

    assert [(one["status"], one["rev"], one["faults"], one["conflict"]) for one in answer["results"]] == [
        ("stored", 1, [], [])
    ]
    assert [{"seq": 1, "kind": "dive", "record": record, "rev": 1, "deleted": False, "fields": DIVE}] == answer[
        "changes"
    ]
    assert tuple(answer[name] for name in ("app", "schema", "mark", "more")) == ("lineslate", 1, 1, False)
    assert phone.outbox == []


def test_a_batch_sent_three_times_is_stored_once_and_answered_the_same(send: Any, runa: User) -> None:
    phone = Phone()
    phone.put()
    phone.put(fields={**DIVE, "reached_m": "deep"})
    phone.put(phone.put(), {"note": "second thoughts"})
    request = phone.request()

    answers = [sync.sync(runa.id, copy.deepcopy(request), NOW) for _ in range(3)]

    assert answers[0] == answers[1] == answers[2]
    assert counts(runa) == (2, 4)


def test_the_same_operation_twice_in_one_batch_is_applied_once(send: Any, runa: User) -> None:
    phone, one = Phone(), operation()

    answer = send(phone, operations=[one, one])

    assert answer["results"][0] == answer["results"][1]
    assert counts(runa) == (1, 1)


def test_an_operations_name_used_for_something_else_is_refused_and_nothing_is_swallowed(send: Any, runa: User) -> None:
    phone, one = Phone(), operation()
    send(phone, operations=[one])

    answer = send(phone, operations=[{**one, "fields": {**DIVE, "reached_m": 40}}])

    assert [(result["status"], result["faults"][0]["field"]) for result in answer["results"]] == [("refused", "op")]
    assert send(phone, mark=0)["changes"][0]["fields"]["reached_m"] == 38


def test_an_account_that_is_gone_is_not_found(runa: User) -> None:
    with pytest.raises(NotFound):
        sync.sync(runa.id + 1, Phone().request(), NOW)


def test_a_failure_after_the_writing_takes_everything_back(runa: User, monkeypatch: pytest.MonkeyPatch) -> None:
    def cut(user_id: int, *rest: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    phone = Phone()
    phone.put()
    with monkeypatch.context() as patched:
        patched.setattr(users, "note_phone", cut)
        with pytest.raises(sqlite3.OperationalError):
            sync.sync(runa.id, phone.request(), NOW)

    assert counts(runa) == (0, 0)
    assert sync.sync(runa.id, phone.request(), NOW)["mark"] == 1


def test_changes_come_in_pages_without_a_gap_or_a_double(send: Any) -> None:
    writer, reader = Phone(), Phone()
    for _ in range(2 * PAGE + 7):
        writer.put()
    while writer.outbox:
        send(writer)

    pages = [send(reader)]
    while pages[-1]["more"]:
        pages.append(send(reader))

    seqs = [change["seq"] for page in pages for change in page["changes"]]
    assert [len(page["changes"]) for page in pages] == [PAGE, PAGE, 7]
    assert list(range(1, 2 * PAGE + 8)) == seqs
    assert send(reader)["changes"] == []


def test_a_changed_epoch_answers_everything_from_the_start(send: Any) -> None:
    phone = Phone()
    phone.put()
    send(phone)
    assert send(phone)["changes"] == []
    with store.transaction():
        epoch = renew_epoch()

    answer = send(phone)

    assert epoch == answer["epoch"]
    assert len(answer["changes"]) == 1


def test_a_phone_that_knew_the_file_before_a_restore_first_sees_what_is_left_and_then_sends(send: Any) -> None:
    phone = Phone()
    send(phone)
    phone.put()
    with store.transaction():
        renew_epoch()

    assert send(phone)["results"] == []
    assert len(phone.outbox) == 1
    assert [one["status"] for one in send(phone)["results"]] == ["stored"]


def test_a_mark_beyond_the_servers_own_answers_everything_from_the_start(send: Any) -> None:
    phone = Phone()
    phone.put()
    send(phone)

    assert len(send(phone, mark=99)["changes"]) == 1


def test_a_deletion_comes_as_a_change_and_leaves_the_plan(send: Any, runa: User) -> None:
    phone, other = Phone(), Phone()
    record = phone.put()
    send(phone)
    phone.delete(record)
    send(phone)

    change = send(other)["changes"][0]

    assert (record, True, DIVE) == (change["record"], change["deleted"], change["fields"])
    assert seasons.log_of(runa.id) == []


def test_what_the_server_made_of_an_edit_always_comes_back_to_its_phone(send: Any) -> None:
    """A deletion that lost changes nothing, yet the phone that sent it must learn that the dive is still there."""
    phone, tablet = Phone(), Phone()
    record = phone.put()
    send(phone)
    send(tablet)
    tablet.delete(record)
    phone.put(record, {"note": "cold"})
    send(phone)
    tablet.mark = 2  # the change went by while the tablet had its own edit waiting

    answer = send(tablet)

    assert [one["conflict"] for one in answer["results"]] == [["deleted"]]
    assert [(record, False, "cold")] == [
        (one["record"], one["deleted"], one["fields"]["note"]) for one in answer["changes"]
    ]


def next_target(user: User) -> float:
    current = seasons.current(user.id, "2031-04-01")
    assert current is not None
    return float(current.plan["next"]["target_m"])


def test_the_next_target_is_recalculated_once_the_batch_is_in(send: Any, runa: User) -> None:
    seasons.save_season(runa.id, None, "Spring", SEASON, NOW)
    phone = Phone()
    send(phone)
    before = next_target(runa)
    phone.put(fields={**DIVE, "date": "2031-03-28"})
    phone.put(fields={**DIVE, "date": "2031-03-29"})

    answer = send(phone)["snapshot"]

    assert (before, next_target(runa)) == (38, 40)
    assert answer["season"]["name"] == "Spring"
    current = seasons.current(runa.id, "2031-04-01")
    assert current is not None
    assert current.sheet == answer["sheet"]


def test_a_sheet_that_the_phone_has_is_not_sent_again_until_the_season_changes(runa: User) -> None:
    seasons.save_season(runa.id, None, "Spring", SEASON, NOW)
    phone = Phone()
    first = sync.sync(runa.id, phone.request(), NOW)["snapshot"]

    again = sync.sync(runa.id, phone.request(), NOW, first["sheet_id"])["snapshot"]

    assert again == {name: value for name, value in first.items() if name != "sheet"}
    row = seasons.list_seasons(runa.id)[0]
    seasons.save_season(runa.id, row.id, "Spring", {**SEASON, "days_on": 1}, NOW)
    other = sync.sync(runa.id, phone.request(), NOW, first["sheet_id"])["snapshot"]
    assert other["sheet_id"] != first["sheet_id"]
    assert other["sheet"] != first["sheet"]


def test_without_a_season_the_log_is_kept_all_the_same(send: Any) -> None:
    phone = Phone()
    phone.put()

    snapshot = send(phone)["snapshot"]

    assert snapshot == {"season": None, "sheet": None, "made_at": "2031-04-01T08:00:00Z"}


def test_a_season_that_can_no_longer_be_planned_keeps_no_dive_from_being_stored(send: Any, runa: User) -> None:
    row = seasons.save_season(runa.id, None, "Spring", SEASON, NOW)
    with store.transaction():
        store.seasons.change_season(row.id, "Spring", {**SEASON, "first_day": "spring"}, "t")
    phone = Phone()
    phone.put()

    answer = send(phone)
    assert answer["snapshot"] is None
    assert "cannot be planned" in answer["not_planned"]["says"]
    assert [fault["field"] for fault in answer["not_planned"]["faults"]] == ["first_day"]
    assert phone.outbox == []


def test_a_stored_season_whose_rules_do_not_go_together_is_told_and_no_empty_sheet_is_sent(
    send: Any, runa: User
) -> None:
    row = seasons.save_season(runa.id, None, "Spring", SEASON, NOW)
    assert send(Phone())["not_planned"] is None
    with store.transaction():
        store.seasons.change_season(row.id, "Spring", {**SEASON, "rules": FAR_APART}, "t")

    answer = send(Phone())

    assert answer["snapshot"] is None
    assert [fault["field"] for fault in answer["not_planned"]["faults"]] == ["rules.pace.swim_m_s"]


def test_rules_that_do_not_go_together_are_refused_when_they_are_saved(runa: User) -> None:
    with pytest.raises(Refused) as refused:
        seasons.save_season(runa.id, None, "Spring", {**SEASON, "rules": FAR_APART}, NOW)
    assert [fault.field for fault in refused.value.faults] == ["rules.pace.swim_m_s"]
    assert seasons.list_seasons(runa.id) == []


def test_one_divers_phone_never_sees_anothers_records(send: Any, runa: User) -> None:
    with store.transaction():
        ivo = users.add_user("Ivo", "ivo", "none", "t")
    mine, his, name = Phone(), Phone(), new_id()
    mine.put(name)
    his.put(name, {**DIVE, "note": "Ivo's"})

    send(mine)
    his.take(sync.sync(ivo.id, his.request(), NOW))
    assert len(send(Phone())["changes"]) == 1

    assert mine.shows()[name]["note"] == ""
    assert his.shows()[name]["note"] == "Ivo's"
    assert len(histories.history(runa.id, name)) == 1


def test_a_dive_read_out_of_the_journal_is_what_the_phone_sent(send: Any, runa: User) -> None:
    phone = Phone()
    record = phone.put(fields={**DIVE, "note": 'ein "Wort", \U0001f41f allein, <b>fett</b>'})
    sent = copy.deepcopy(phone.outbox[0])
    send(phone)

    with store.reading():
        (entry,) = journal.entries_of(runa.id, record)

    asked = entry.asked
    kept = {name: getattr(asked, name) for name in sent if name != "schema"}
    assert sent == {**kept, "schema": 1}
    assert (phone.device, "2031-04-01T08:00:00Z") == (asked.device, entry.received_at)
    assert ({}, sent["fields"]) == (entry.before, entry.after)


def test_batches_of_one_phone_that_overtake_each_other_end_the_same(send: Any, runa: Any) -> None:
    phone, reader = Phone(), Phone()
    edited, deleted = phone.put(), phone.put()
    send(phone)
    phone.put(edited, {"note": "first", "effort": 1})
    phone.delete(deleted)
    early = list(phone.outbox)
    phone.put(edited, {"note": "second"})
    phone.put(deleted, {})
    late = phone.outbox[len(early) :]

    for operations in (late, early, late):
        send(phone, operations=operations)
    send(reader)

    assert {edited, deleted} == set(reader.shows())
    assert tuple(reader.shows()[edited][name] for name in ("note", "effort")) == ("second", 1)


def calls_of(work: Any) -> dict[str, int]:
    """Let something be done and return how often each function of the planner and its checks ran."""
    profile = Profile()
    profile.runcall(work)
    names = {"season_and_book", "compile_sheet", "read", "whole_log"}
    found: dict[str, int] = dict.fromkeys(names, 0)
    for (file, _, name), (_, calls, *_) in Stats(profile).stats.items():  # type: ignore[attr-defined]
        if name in names and "webapp" in file:
            found[name] += calls
    return found


def test_an_exchange_finds_the_sheet_that_saving_compiled_and_folds_no_season(runa: User, send: Any) -> None:
    """The sheet is all that the phone needs: it folds the season by itself."""
    raw = {**SEASON, "site": {**SEASON["site"], "name": "A bay that no other test compiles"}}
    seasons.save_season(runa.id, None, "Spring", raw, NOW)
    phone = Phone()
    phone.put()

    assert calls_of(lambda: send(phone)) == {"season_and_book": 0, "compile_sheet": 0, "read": 0, "whole_log": 0}
    assert calls_of(lambda: send(phone)) == {"season_and_book": 0, "compile_sheet": 0, "read": 0, "whole_log": 0}


def test_a_phone_that_only_asks_writes_at_most_once_a_minute(runa: User, file: Path) -> None:
    phone = Phone()

    def ask(after_s: int) -> str:
        sync.sync(runa.id, phone.request(), NOW + timedelta(seconds=after_s))
        with store.reading():
            return str(users.last_sync(runa.id))

    assert [ask(0)[-9:], ask(30)[-9:], ask(59)[-9:], ask(61)[-9:]] == [
        "08:00:00Z", "08:00:00Z", "08:00:00Z", "08:01:01Z",
    ]  # fmt: skip


def test_a_phone_that_only_asks_waits_for_no_writer(runa: User, file: Path) -> None:
    phone = Phone()
    sync.sync(runa.id, phone.request(), NOW)
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert sync.sync(runa.id, phone.request(), NOW + timedelta(seconds=5))["results"] == []
        other.execute("ROLLBACK")


def test_a_phone_that_has_read_more_than_there_is_renews_the_epoch_once(
    send: Any, caplog: pytest.LogCaptureFixture
) -> None:
    phone = Phone()
    phone.put()
    before = send(phone)["epoch"]
    phone.mark = 8  # as if five more dives had been there

    first = send(phone, epoch=before)
    phone.put()
    second = send(phone)

    assert first["epoch"] != before
    assert (first["results"], len(first["changes"])) == ([], 1)
    assert second["epoch"] == first["epoch"]
    assert [one["status"] for one in second["results"]] == ["stored"]
    assert len([line for line in caplog.records if "older than what a phone has read" in line.getMessage()]) == 1


def test_an_app_that_goes_on_naming_a_mark_that_never_was_renews_the_epoch_no_second_time_at_once(
    runa: User, send: Any
) -> None:
    before = send(Phone())["epoch"]

    def named(epoch: str, after_s: int) -> Any:
        phone = Phone()
        record = phone.put()
        request = phone.request(epoch=epoch, mark=10**8)
        return record, sync.sync(runa.id, request, NOW + timedelta(seconds=after_s))

    _, first = named(before, 0)
    record, second = named(first["epoch"], 300)
    _, third = named(second["epoch"], 601)

    assert before != first["epoch"] == second["epoch"] != third["epoch"]
    assert [one["status"] for one in second["results"]] == ["stored"]
    assert [one["record"] for one in second["changes"]] == [record], "it is told everything from the start"
