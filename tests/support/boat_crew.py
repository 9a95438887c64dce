"""A crew on a phone: its feed and the logs of others, written into the phone's storage as a sync would have."""

from __future__ import annotations

import hashlib
import json
import uuid
from typing import Any

from support.boat import TODAY, BoatPhone

Json = dict[str, Any]
CREW, ME, BO, CLEO = (str(uuid.UUID(int=number, version=4)) for number in (901, 902, 903, 904))
NAMES = {ME: "Mika", BO: "Bo", CLEO: "Cleo"}

PLANT = """async ([feeds, rows, person]) => {
  const { write, getKept } = await import("/static/js/store/db.js");
  const { CHANGED, tellHere } = await import("/static/js/store/news.js");
  const { keyOf } = await import("/static/js/store/keys.js");
  const user = (await getKept("user"))?.id ?? null;
  await write(["kept", "feeds", "feed_rows"], (stores) => {
    stores.kept.put(person, keyOf.person(user));
    for (const feed of feeds) stores.feeds.put({ ...feed, user, mark: 1, epoch: "one", kinds: "" });
    for (const { feed, record, kind, fields } of rows)
      stores.feed_rows.put({ feed, record, kind, known: { rev: 1, fields, deleted: false }, told: null });
  });
  tellHere(CHANGED);
}"""
READ = """async () => {
  const { getKept } = await import("/static/js/store/db.js");
  const { readFeeds } = await import("/static/js/store/feeds.js");
  return await readFeeds(await getKept("user"));
}"""


def plant(phone: BoatPhone, rows: list[Json], rights: list[str] | None = None) -> None:
    """Give the phone this crew, with `rights` also Bo's log. The server is out of reach from then on."""
    phone.context.route("**/sync", lambda route: route.abort())
    members = [{"person": person, "name": name} for person, name in NAMES.items()]
    feeds: list[Json] = [{"feed": CREW, "kind": "crew", "name": "Skarn crew", "rights": ["crew"], "own": True,
                          "members": members}]  # fmt: skip
    if rights is not None:
        feeds.append({"feed": BO, "kind": "log", "name": "Bo", "rights": rights})
    phone.page.evaluate(PLANT, [feeds, [{"feed": CREW, **row} for row in rows], ME])


def named_id(*parts: object) -> str:
    """Return the id that every phone finds for what these parts name: SHA-256, as a UUID of version 8 (RFC 9562)."""
    text = json.dumps(parts, separators=(",", ":"), ensure_ascii=False)
    digest = bytearray(hashlib.sha256(text.encode()).digest()[:16])
    digest[6], digest[8] = (digest[6] & 0x0F) | 0x80, (digest[8] & 0x3F) | 0x80
    return str(uuid.UUID(bytes=bytes(digest)))


def feeds_of(phone: BoatPhone) -> Json:
    """What the phone's pages read of its feeds."""
    found: Json = phone.page.evaluate(READ)
    return found


def shown(phone: BoatPhone, kind: str) -> list[Json]:
    """The rows of one kind of the crew's feed."""
    (crew,) = feeds_of(phone)["crews"]
    return [row for row in crew["rows"] if row["kind"] == kind]


def _row(kind: str, number: int, fields: Json) -> Json:
    return {"record": str(uuid.UUID(int=number, version=4)), "kind": kind, "fields": fields}


def aboard(person: str, number: int, **fields: Any) -> Json:
    name = NAMES.get(person, person)
    return _row("aboard", 1000 + number, {"date": TODAY, "person": person, "name": name, "guest": False, "ready": True,
                "may_meet_m": 30, "late_until": None, "over": False, **fields})  # fmt: skip


def turn(person: str, depth_m: float, number: int, **fields: Any) -> Json:
    plain: Json = {
        "date": TODAY, "person": person, "discipline": "CWT", "role": "deep", "depth_m": depth_m, "dive_s": 100,
        "pause_s": 600, "fixed_at": None, "pinned": None, "safety": None, "began_at": None, "ended_at": None,
        "result": None, "reached_m": None, "dive": None,
    }  # fmt: skip
    return _row("turn", 2000 + number, plain | fields)


ALL = [aboard(person, number) for number, person in enumerate(NAMES)]
