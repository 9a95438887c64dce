"""The feeds of others in one exchange: what a phone writes in them, and what is new in them.

The answer names every feed that is open to the diver; a phone drops whatever it has of any other.
"""

from collections.abc import Container, Iterable, Mapping
from datetime import datetime
from typing import Any

from webapp.actions import access, sharing, snapshots, storing
from webapp.actions.access import Granted
from webapp.actions.errors import NotFound
from webapp.protocol.batch import Answer, refused
from webapp.protocol.envelope import UUID, Asked, Read
from webapp.records.proposal import ANSWER_FIELDS
from webapp.rulebook.faults import Fault
from webapp.store import feeds, journal, meta, records, users
from webapp.store.values import Feed

PAGE = 500  # changes in one answer, of all these feeds together
CLOSED = Fault("feed", "is not open to you any more: ask the diver or the crew whose it is")
NOT_YOURS = Fault("record", "was written by somebody else: you may change only what you wrote yourself")
LOOKED_AT = Fault("record", "was looked at by its diver: only they may change it now")
ANSWERED = Fault("record", "was answered by its diver: propose something new instead")
REMOVED = Fault("record", "was deleted by its diver: ask them about it")
NOT_YOUR_ANSWER = Fault("answer", "is for the diver to give")
NOT_THIS = Fault("kind", "is not one that its diver allows you to write")
NAMED, VERSION_AT = "8", 14  # a UUID that every phone finds alike says so here: version 8 (RFC 9562)
SIGNED = {"dive": "logged_by", "proposal": "by"}  # the field in which the server names the author
PERSON = {"proposal": "by_person"}  # and the one in which it says which person that is: a name may change hands


def in_order(operations: Iterable[object]) -> tuple[list[object], dict[str, list[object]]]:
    """Return the operations on the own log, and those on the feed of others by its name, each in the order sent."""
    own: list[object] = []
    theirs: dict[str, list[object]] = {}
    for one in operations:
        name = one.get("feed") if isinstance(one, Mapping) else None
        if isinstance(name, str) and UUID.fullmatch(name):
            theirs.setdefault(name, []).append(one)
        else:
            own.append(one)
    return own, theirs


def take(user_id: int, device: str, theirs: Mapping[str, list[object]], at: str) -> list[Answer]:
    """Store what a diver wrote in feeds of others, as far as they may; the caller has the transaction open."""
    answers: list[Answer] = []
    for name, operations in theirs.items():
        try:
            granted = access.granted(user_id, name)
        except NotFound:
            answers += [refused(one, CLOSED) for one in operations]
            continue
        free = granted.is_own or granted.is_crew
        taken: dict[str, Fault] = {} if free else _taken(granted.feed, user_id, operations)
        faults = [_fault(granted, one, taken) for one in operations]
        fitting = [_signed(granted, one, user_id) for one, fault in zip(operations, faults, strict=True) if not fault]
        done = storing.store_batch(granted.feed.id, user_id, device, fitting, at, 0, granted.feed.kind).answers
        stored = iter(done)
        answers += [refused(one, why) if why else next(stored) for one, why in zip(operations, faults, strict=True)]
    return answers


def _taken(feed: Feed, user_id: int, operations: Iterable[object]) -> dict[str, Fault]:
    """Return those of the records named here that this diver may not change, with the reason."""
    named = [record for one in operations if isinstance(record := _part(one, "record"), str)]
    written, by_diver = (journal.written_by(feed.id, user, named) for user in (user_id, feed.owner_id))
    found: dict[str, Fault] = {}
    for name, record in records.get_records(feed.id, named).items():
        if record.fields.get("confirmed"):
            found[name] = LOOKED_AT
        elif record.fields.get("answer") and name in written:
            found[name] = ANSWERED
        elif name not in written or name in by_diver:
            found[name] = REMOVED if record.deleted else NOT_YOURS
    return found


def _tells_too(operation: object) -> bool:
    """Tell whether this logs a dive of a crew's list, which its diver may have logged as well before the phones met."""
    plain = operation if isinstance(operation, Mapping) else {}
    is_new = (plain.get("kind"), plain.get("action"), plain.get("base")) == ("dive", "put", 0)
    return is_new and str(plain.get("record"))[VERSION_AT:].startswith(NAMED)


def _fault(granted: Granted, operation: object, taken: Mapping[str, Fault]) -> Fault | None:
    if not granted.may_write(_part(operation, "kind")):
        return NOT_THIS
    if not granted.is_own and any(_fields(operation).get(name) is not None for name in ANSWER_FIELDS):
        return NOT_YOUR_ANSWER
    fault = taken.get(str(_part(operation, "record")))
    return None if fault is NOT_YOURS and _tells_too(operation) else fault


def _signed(granted: Granted, operation: object, user_id: int) -> object:
    """Return an operation on another diver's log with its author in it, whatever was sent there."""
    kind = str(_part(operation, "kind"))
    by = SIGNED.get(kind)
    user = users.get_user(user_id)
    if granted.is_own or by is None or user is None or not isinstance(operation, Mapping) or not _fields(operation):
        return operation
    kept = {name: value for name, value in _fields(operation).items() if name != "confirmed" or value is False}
    person = {PERSON[kind]: feeds.person_of(user_id).person} if kind in PERSON else {}
    return {**operation, "fields": {**kept, by: user.name, **person}}


def _fields(operation: object) -> Mapping[str, Any]:
    found = operation.get("fields") if isinstance(operation, Mapping) else None
    return found if isinstance(found, Mapping) else {}


def _part(operation: object, name: str) -> object:
    found = operation.get(name) if isinstance(operation, Mapping) else None
    return found if isinstance(found, str) else None


def news(user_id: int, asked: Asked, kinds: Container[str] | None, now: datetime) -> list[dict[str, Any]]:
    """Return each feed that is open to a diver, with what changed in it after the phone's mark."""
    has = {one.feed: one for one in asked.feeds or ()}
    is_same_file, room, answer = asked.epoch == meta.epoch(), PAGE, []
    for granted in access.of_others(user_id):
        read = has.get(granted.feed.name) or Read(granted.feed.name, 0, None)
        part = _changes(granted, read.mark if is_same_file else 0, kinds, room)
        room -= len(part["changes"])
        answer.append({**_about(granted), **part, **_plan(granted, read, asked.today, now)})
    return answer


def _about(granted: Granted) -> dict[str, Any]:
    feed, rights = granted.feed, sorted(granted.rights)
    if granted.is_crew:
        crew = {"name": feed.title, "rights": rights, "own": granted.is_own, "members": _members(granted)}
        return {"feed": feed.name, "kind": feed.kind, **crew}
    return {"feed": feed.name, "kind": feed.kind, "name": feeds.person_of(feed.owner_id).name, "rights": rights}


def _members(granted: Granted) -> list[dict[str, str]]:
    """Return who is in a crew, its owner first, then in the order of joining."""
    everyone = [feeds.person_of(granted.feed.owner_id), *feeds.people(granted.feed.id)]
    return [{"person": one.person, "name": one.name} for one in everyone]


def _changes(granted: Granted, mark: int, kinds: Container[str] | None, room: int) -> dict[str, Any]:
    """Return at most `room` changes after this mark, as far as they may be read, and the next mark."""
    if not granted.may_read_any():  # whoever may read it later has not read anything yet
        return {"mark": 0, "more": False, "changes": []}
    last = records.last_number(granted.feed.id)
    mark = mark if mark <= last else 0
    found = records.changes(granted.feed.id, mark, max(room, 0) + 1)
    more, page = len(found) > max(room, 0), found[: max(room, 0)]
    wanted = [one for one in page if granted.may_read(one.kind) and (kinds is None or one.kind in kinds)]
    changes = [{**one._asdict(), "fields": granted.shown(one.kind, one.fields)} for one in wanted]
    reached = page[-1].seq if page else mark
    return {"mark": reached if more else last, "more": more, "changes": changes}


def _plan(granted: Granted, read: Read, today: str, now: datetime) -> dict[str, Any]:
    if granted.is_crew:
        return {}
    if not granted.may(access.LOG):  # every right on a log has this one in it
        return {"list": sharing.next_days(granted.feed.owner_id, now)}
    return snapshots.plan_parts(granted.feed.owner_id, now, read.sheet, today)


def answered(user_id: int, asked: Asked, kinds: Container[str] | None, now: datetime) -> dict[str, Any]:
    """Return the part of an answer about feeds of others: none for an app that does not know of them."""
    if asked.feeds is None:
        return {}
    return {"person": feeds.person_of(user_id).person, "feeds": news(user_id, asked, kinds, now)}
