"""Sync: take what a phone did, tell it what changed. Any request may come any number of times."""

import logging
from collections.abc import Container, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from webapp import store
from webapp.actions import others, snapshots, storing
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.protocol.batch import STORED, Answer, Decided
from webapp.protocol.envelope import SCHEMA, Asked, read_request
from webapp.store import feeds, journal, meta, records, users

PAGE = others.PAGE  # changes of the own log in one answer
NOTE_PHONE_S = 60  # a phone that asks often is noted once in this time
RENEW_PAUSE_S = 600  # every phone reads its whole log again after a new epoch
log = logging.getLogger(__name__)


def sync(
    user_id: int,
    request: object,
    now: datetime,
    has_sheet: str | None = None,
    kinds: Container[str] | None = None,
    *,
    keeps_own: bool = False,
) -> dict[str, Any]:
    """Store a phone's operations; answer with the result of each, the changes after its mark, and the new snapshot.

    `has_sheet` is the id of the ladder sheet that the phone has: it is not sent again, as the signal may be weak.
    `kinds` are those that the phone can read, None for all: changes of others are left out. An app that `keeps_own`
    takes what it has sent from its own copy: records that were stored as sent are marked so in the results, and are
    not among the changes.

    Raises Refused with every fault of the request, TooMuch, or NotFound. A faulty operation is not a fault
    of the request: it is answered as refused and does not delay the others.
    """
    asked = read_request(request)
    taken = _take_in(user_id, asked, now)
    own = taken.as_sent if keeps_own else {}
    with store.reading():
        user = users.get_user(user_id)
        if user is None:
            raise NotFound
        sender = {"app": "lineslate", "schema": SCHEMA, "user": {"id": user.id, "name": user.name}}
        plan = snapshots.plan_parts(user_id, now, has_sheet, asked.today)
        counter = {"counter": journal.last_counter(user_id, asked.device)}
        news = _news(feeds.log_feed(user_id), asked, kinds, own)
        theirs = others.answered(user_id, asked, kinds, now)
        return {**sender, "results": _marked(taken, own), **counter, **news, **plan, **theirs}


def _marked(taken: Decided, own: Container[str]) -> list[Answer]:
    """Return the answers, with a mark on those of operations that led to records as sent."""
    ops = {entry.asked.op for entry in taken.entries if entry.asked.record in own and entry.status == STORED}
    return [{**one, "as_sent": True} if one["op"] in ops else one for one in taken.answers]


def _take_in(user_id: int, asked: Asked, now: datetime) -> Decided:
    """Store what was sent; a phone that only asks what is new takes no right to write, but for once a minute."""
    if not asked.operations and _is_quiet(user_id, asked, stamp(now - timedelta(seconds=NOTE_PHONE_S))):
        return Decided()
    with store.transaction():
        if users.get_user(user_id) is None:
            raise NotFound
        users.note_phone(user_id, asked.device, asked.utc_offset_min, stamp(now))
        feed_id = feeds.log_feed(user_id)
        if _has_gone_back(feed_id, asked):
            _renew_epoch(now)
        # a phone that knew this file before a backup was restored first has to see what is left of its records
        epoch = meta.epoch()
        if asked.epoch not in (None, epoch):
            return Decided()
        read_to = asked.mark if asked.epoch == epoch else 0
        own, theirs = others.in_order(asked.operations)
        decided = storing.store_batch(feed_id, user_id, asked.device, own, stamp(now), read_to)
        decided.answers += others.take(user_id, asked.device, theirs, stamp(now))
        return decided


def _is_quiet(user_id: int, asked: Asked, since: str) -> bool:
    """Tell whether nothing is to be written for a phone that sends nothing: it was noted since this moment."""
    with store.reading():
        is_noted = users.knows_phone(user_id, asked.device, asked.utc_offset_min, since)
        return is_noted and not _has_gone_back(feeds.log_feed(user_id), asked)


def _has_gone_back(feed_id: int, asked: Asked) -> bool:
    """Tell whether the phone has read more of this very file than there is: a copy was put in its place."""
    return asked.epoch == meta.epoch() and asked.mark > records.last_number(feed_id)


def _renew_epoch(now: datetime) -> None:
    """Renew the epoch of the file, but not again and again because one app names a mark that never was."""
    if not meta.was_renewed(stamp(now - timedelta(seconds=RENEW_PAUSE_S)), stamp(now)):
        meta.renew_epoch(stamp(now))
        log.warning("the data file is older than what a phone has read from it: phones send again what it lacks")


def take(user_id: int, device: str, operations: Iterable[object], at: str) -> list[Answer]:
    """Store operations of one device in a diver's own log: look up what exists, decide each one, write the result.

    The caller has the transaction open. Files and the shore's own pages come through here, phones by the same code.
    """
    return storing.store_batch(feeds.log_feed(user_id), user_id, device, operations, at, 0).answers


def _news(feed_id: int, asked: Asked, kinds: Container[str] | None, own: Mapping[str, int]) -> dict[str, Any]:
    """Return the changes of these kinds after the phone's mark, oldest first, and the mark to ask from next time.

    `own` has the records, with their rev, that the phone knows without being told.
    """
    epoch, last = meta.epoch(), records.last_number(feed_id)
    mark = asked.mark if asked.epoch == epoch and asked.mark <= last else 0
    if last - mark == len(own):  # each change has a number of its own: the phone knows them all
        return {"epoch": epoch, "mark": last, "more": False, "changes": []}
    found = records.changes(feed_id, mark, PAGE + 1, own)
    more, page = len(found) > PAGE, found[:PAGE]
    return {
        "epoch": epoch,
        "mark": page[-1].seq if more else last,
        "more": more,
        "changes": [
            one._asdict() for one in page if (kinds is None or one.kind in kinds) and own.get(one.record) != one.rev
        ],
    }
