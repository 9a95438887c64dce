"""Phones as the server sees them: each has its own id, counter and outbox, and handles answers as the app does."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import count
from typing import Any
from uuid import UUID

NOW = datetime(2031, 4, 1, 8, tzinfo=UTC)
TODAY = "2031-04-01"
MADE_AT = "2031-04-01T10:00:00+02:00"
DIVE: dict[str, Any] = {
    "date": "2031-03-30", "at": "09:40", "surfaced_at": None, "discipline": "FIM", "role": "deep",
    "target_m": 38, "reached_m": 38, "dive_s": 82, "effort": 4, "signs": [], "note": "",
}  # fmt: skip
SEASON: dict[str, Any] = {
    "first_day": "2031-03-28", "last_day": "2031-05-20", "days_on": 2, "days_off": 1, "block_days": 14,
    "break_days": 4, "closed_days": [], "site": {"name": "Invented Bay", "bottom_m": 60},
    "disciplines": [
        {"discipline": "FIM", "best_m": 41, "start_m": 38, "step_m": 2, "repeats": 2, "goals": {"aim_m": 48}}
    ],
    "lead": ["FIM"], "drill": {"discipline": "CNF", "depth_m": 15, "dives": 2}, "rules": {},
}  # fmt: skip

_serial = count(1)


def new_id() -> str:
    """Return a UUID that is unique in this run."""
    return str(UUID(int=next(_serial)))


def operation(record: str | None = None, **changes: Any) -> dict[str, Any]:
    """One operation, by default a new clean dive."""
    plain = {
        "op": new_id(), "schema": 1, "kind": "dive", "record": record or new_id(), "action": "put",
        "fields": dict(DIVE), "base": 0, "counter": 1, "made_at": MADE_AT,
    }  # fmt: skip
    return {**plain, **changes}


class Phone:
    """One device: what it shows, what waits to be sent, and how far it has read the feed."""

    def __init__(self) -> None:
        self.device, self.counter, self.epoch, self.mark = new_id(), 0, None, 0
        self.known: dict[str, dict[str, Any]] = {}
        self.outbox: list[dict[str, Any]] = []
        self.refused: list[dict[str, Any]] = []

    def put(self, record: str | None = None, fields: dict[str, Any] | None = None, **changes: Any) -> str:
        """Write a new dive, or change fields of one."""
        return self._do(record or new_id(), "put", DIVE if fields is None else fields, changes)

    def delete(self, record: str) -> str:
        return self._do(record, "delete", {}, {})

    def _do(self, record: str, action: str, fields: dict[str, Any], changes: dict[str, Any]) -> str:
        self.counter += 1
        base = self.known.get(record, {"rev": 0})["rev"]
        made = {"action": action, "fields": dict(fields), "base": base, "counter": self.counter}
        self.outbox.append(operation(record, **{**made, **changes}))
        return record

    def request(self, most: int = 100, **changes: Any) -> dict[str, Any]:
        """Return what the phone would send now."""
        plain = {
            "schema": 1, "device": self.device, "epoch": self.epoch, "mark": self.mark, "today": TODAY,
            "utc_offset_min": 120, "user": None, "operations": self.outbox[:most],
        }  # fmt: skip
        return copy.deepcopy({**plain, **changes})

    def take(self, answer: dict[str, Any]) -> None:
        """Apply an answer: only what it names leaves the outbox."""
        named = {result["op"]: result for result in answer["results"]}
        self.refused += [one for one in self.outbox if named.get(one["op"], {}).get("status") == "refused"]
        for one in self.outbox:
            if named.get(one["op"], {}).get("as_sent"):
                self._keep_own(one, named[one["op"]]["rev"])
        self.outbox = [one for one in self.outbox if one["op"] not in named]
        for change in answer["changes"]:
            if change["rev"] >= self.known.get(change["record"], {"rev": 0})["rev"]:
                self.known[change["record"]] = change
        if answer["counter"] > self.counter:  # its storage is older than what it sent
            self.device = new_id()
        self.mark = answer["mark"] if self.epoch != answer["epoch"] else max(self.mark, answer["mark"])
        self.epoch = answer["epoch"]

    def _keep_own(self, sent: dict[str, Any], rev: int) -> None:
        """Keep what was stored as it was sent: it does not come among the changes."""
        known = self.known.get(sent["record"], {"rev": 0, "fields": {}})
        if rev >= known["rev"]:
            fields = {**known["fields"], **sent["fields"]}
            self.known[sent["record"]] = {
                "record": sent["record"], "rev": rev, "fields": fields, "deleted": sent["action"] == "delete",
            }  # fmt: skip

    def shows(self) -> dict[str, Any]:
        """Return the log as the phone knows it."""
        return {name: one["fields"] for name, one in self.known.items() if not one["deleted"]}

    def batches(self) -> Iterator[dict[str, Any]]:
        """Return the outbox in requests of one operation each, in order."""
        for one in list(self.outbox):
            yield self.request(operations=[one])


class OlderApp(Phone):
    """A phone whose app does not look at the counter of an answer: it goes on under the same device id."""

    def take(self, answer: dict[str, Any]) -> None:
        super().take({**answer, "counter": 0})
