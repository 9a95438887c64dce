"""What the fault suite shares: a server that fails when told to, hundreds of dives, and the check "nothing lost"."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing
from typing import Any

from support import crash
from support.boat import TODAY, BoatPhone, Server

DIVE: dict[str, Any] = {
    "date": TODAY, "at": "09:10", "surfaced_at": None, "discipline": "CNF", "role": "drill", "target_m": 18,
    "reached_m": 18, "dive_s": 50, "effort": 3, "signs": [], "note": "",
}  # fmt: skip

SAVE = """async ([dives, record]) => {
  const outbox = await import("/static/js/store/outbox.js");
  const { getKept } = await import("/static/js/store/db.js");
  const user = (await getKept("user"))?.id ?? null;
  const made = [];
  for (const fields of dives) made.push(await outbox.save({ kind: "dive", record: record ?? undefined, fields, user }));
  return made;
}"""

# Many dives as the app itself stores them, in one transaction: two thousand separate saves would take too long.
POUR = """async (text) => {
  const dives = JSON.parse(text);
  const { write, getKept } = await import("/static/js/store/db.js");
  const { newId } = await import("/static/js/store/ids.js");
  const { operation } = await import("/static/js/store/outbox.js");
  const user = (await getKept("user"))?.id ?? null;
  const made = dives.map(() => newId());
  await write(["records", "outbox"], ({ records, outbox }) => {
    dives.forEach((fields, nth) => {
      const row = { conflict: [], known: null, rev: 0, record: made[nth], kind: "dive", user, fields, deleted: false };
      records.put(row);
      outbox.add(operation(row, { action: "put", fields }));
    });
  });
  return made;
}"""

NewPhone = Callable[..., BoatPhone]
Saved = dict[str, dict[str, Any]]  # record: its fields


class FaultyServer(Server):
    """The real server, started so that it dies or fails where a test wants it to; see tests/support/crash.py."""

    wishes: Mapping[str, Any] = {}
    main, quiet = staticmethod(crash.main), True

    def wanted(self) -> list[str]:
        return [json.dumps(dict(self.wishes)), *super().wanted()]

    def again(self, **wishes: Any) -> None:
        """Kill it and start it at the same address with other wishes."""
        self.stop()
        self.wishes = wishes
        self.start()

    def ended(self) -> int:
        """Wait until it has died by itself; return its exit status."""
        return self.process.wait(timeout=30)

    def ask(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """Query the file directly, without the app."""
        with closing(sqlite3.connect(self.data)) as connection, connection:
            return connection.execute(sql, values).fetchall()

    def records(self) -> Saved:
        """Every record on the server."""
        rows = self.ask("select record, fields, deleted from record")
        return {record: {**json.loads(fields), "deleted": bool(deleted)} for record, fields, deleted in rows}


def dives(count: int, **changes: Any) -> list[dict[str, Any]]:
    """Drills of one morning, each with another note."""
    return [
        {**DIVE, "at": f"{8 + at // 60 % 12:02}:{at % 60:02}", "note": f"drill {at}", **changes} for at in range(count)
    ]


def save(phone: BoatPhone, *fields: dict[str, Any], record: str | None = None) -> Saved:
    """Save dives as the form does, one after the other; each is saved before the next begins."""
    made = phone.page.evaluate(SAVE, [list(fields), record])
    return dict(zip(made, fields, strict=True))


def pour(phone: BoatPhone, fields: list[dict[str, Any]]) -> Saved:
    """Give a phone many dives that it logged without signal."""
    return dict(zip(phone.page.evaluate(POUR, json.dumps(fields)), fields, strict=True))


def send_now(phone: BoatPhone) -> None:
    """Start a sync and wait for its end, whatever that is."""
    phone.page.evaluate("import('/static/js/sync/sync.js').then((sync) => sync.sendNow())")


def until(phone: BoatPhone, condition: Callable[[], object], every_ms: int = 25) -> None:
    """Wait until this is true."""
    for _ in range(400):
        if condition():
            return
        phone.page.wait_for_timeout(every_ms)
    raise AssertionError("it never became true")


def nothing_lost(saved: Saved, server: FaultyServer, *phones: BoatPhone) -> None:
    """Check that each saved dive is on the server, in an outbox or parked: once, and equal."""
    stored, places = server.records(), dict.fromkeys(saved, 0)
    for record, fields in saved.items():
        if record in stored:
            places[record] += 1
            assert {**fields, "deleted": False} == stored[record]
    for row in [row for phone in phones for name in ("outbox", "parked") for row in phone.kept(name)]:
        if row["record"] in saved and row["record"] not in stored:
            places[row["record"]] += 1
            assert row["fields"] == saved[row["record"]]
    assert {record: count for record, count in places.items() if count != 1} == {}


def all_on_shore(saved: Saved, server: FaultyServer, *phones: BoatPhone) -> None:
    """Check that every dive has arrived once and nothing waits."""
    nothing_lost(saved, server)
    listed = [record for (record,) in server.ask("select record from journal")]
    assert sorted(record for record in listed if record in saved) == sorted(saved)
    for phone in phones:
        assert (phone.kept("outbox"), phone.kept("parked")) == ([], [])
