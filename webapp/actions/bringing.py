"""Bringing: a phone's file of unsent dives, imported on shore by the same code as a sync."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from webapp import store
from webapp.actions import others, sync
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.protocol.envelope import MOST_OPERATIONS, UUID, TooMuch
from webapp.protocol.kinds import KINDS
from webapp.rulebook.checks import named_halves
from webapp.rulebook.faults import Fault, Refused
from webapp.store import users

MOST_BROUGHT = 5_000
NOT_OURS = "is not a file of unsent dives from this app"
OTHER_DIVER = "contains the dives of another diver: that diver must sign in"


@dataclass(frozen=True)
class Brought:
    """What became of a file: how many changes are stored now, and those refused with their dive and faults."""

    stored: int
    refused: tuple[tuple[str, tuple[Fault, ...]], ...]


def bring(user_id: int, data: bytes, now: datetime) -> Brought:
    """Import a file. It may be imported many times, because each change keeps its id.

    Each hundred changes are stored by themselves: nobody else waits for the whole file.

    Raises Refused when the file is not from this app or is another diver's, TooMuch when it has too many changes.
    """
    file = _read(data)
    if file.get("user") not in (None, user_id):
        raise Refused([Fault("file", OTHER_DIVER)])
    asked = _feed_by_feed(_operations(file))
    device, answers = _device(file, asked), []
    for start in range(0, len(asked), MOST_OPERATIONS):
        with store.transaction():
            if users.get_user(user_id) is None:
                raise NotFound
            answers += _take(user_id, device, asked[start : start + MOST_OPERATIONS], stamp(now))
    refused = [(_about(sent), answer) for sent, answer in zip(asked, answers, strict=True) if answer["faults"]]
    reasons = tuple((about, tuple(Fault(**fault) for fault in answer["faults"])) for about, answer in refused)
    return Brought(len(answers) - len(reasons), reasons)


def _feed_by_feed(operations: list[Any]) -> list[Any]:
    """Return the operations on the own log first, then those on each feed of others."""
    own, theirs = others.in_order(operations)
    return [*own, *(one for named in theirs.values() for one in named)]


def _take(user_id: int, device: str, operations: list[Any], at: str) -> list[Any]:
    """Store operations, each in its feed as far as this diver may, and return the answers in the same order."""
    own, theirs = others.in_order(operations)
    return [*sync.take(user_id, device, own, at), *others.take(user_id, device, theirs, at)]


def _read(data: bytes) -> Mapping[str, Any]:
    try:
        file = json.loads(data, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise Refused([Fault("file", NOT_OURS)]) from None
    lists = isinstance(file, dict) and all(isinstance(file.get(name), list) for name in ("operations", "parked"))
    if not lists or file.get("app") != "lineslate":
        raise Refused([Fault("file", NOT_OURS)])
    return dict(file)


def _operations(file: Mapping[str, Any]) -> list[Any]:
    """Return what waited and what was refused before, oldest first; newer rules may accept a refused one."""
    parked = [_without_faults(operation) for operation in file["parked"]]
    found = [*file["operations"], *parked]
    if len(found) > MOST_BROUGHT:
        raise TooMuch(f"At most {MOST_BROUGHT} changes in one file.")
    return sorted(found, key=_counter)


def _without_faults(operation: Any) -> Any:
    if not isinstance(operation, dict):
        return operation
    return {name: value for name, value in operation.items() if name != "faults"}


def _counter(operation: Any) -> float:
    counter = operation.get("counter") if isinstance(operation, dict) else None
    return counter if isinstance(counter, int | float) else 0


def _device(file: Mapping[str, Any], asked: list[Any]) -> str:
    """Return the phone's id; a file without one gets an id made from its first change, the same each time."""
    named = file.get("device")
    if isinstance(named, str) and UUID.fullmatch(named):
        return named
    first = asked[0].get("op") if asked and isinstance(asked[0], dict) else None
    return str(uuid5(NAMESPACE_URL, named_halves(f"lineslate file {first}")))


def _about(one: Any) -> str:
    """Say in short which dive a change is about."""
    fields, kind = (one.get("fields"), one.get("kind")) if isinstance(one, dict) else (None, None)
    if not isinstance(fields, dict) or kind not in KINDS:
        return "a change"
    return named_halves(" ".join(part[:20] for part in KINDS[kind].about(fields))) or "a change"


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is not JSON")
