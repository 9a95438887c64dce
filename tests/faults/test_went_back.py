"""A phone whose storage is put back from an older copy: what it does from then on is stored, once, and shown."""

from __future__ import annotations

from typing import Any

from support.boat import BoatPhone
from support.faulty import FaultyServer, dives, save, send_now

COPY = """async () => {
  const { read } = await import("/static/js/store/db.js");
  const names = ["records", "outbox", "parked", "kept"];
  const rows = await read(names, (stores) => Object.fromEntries(names.map((name) => [name, stores[name].getAll()])));
  const keys = await read(["kept"], ({ kept }) => ({ keys: kept.getAllKeys() }));
  return { ...rows, keys: keys.keys };
}"""
# As a restored backup of the whole phone does: the storage is made anew, so that its counter goes on from the copy's.
PUT_BACK = """async (copy) => {
  const counter = Math.max(0, ...copy.kept.filter((value, at) => copy.keys[at] === "counter"));
  await new Promise((resolve, reject) => {
    const asked = indexedDB.deleteDatabase("lineslate");
    asked.onsuccess = resolve;
    asked.onerror = () => reject(asked.error);
  });
  const { write } = await import("/static/js/store/db.js");
  await write(["records", "outbox", "parked", "kept"], ({ records, outbox, parked, kept }) => {
    outbox.put({ op: "", counter });
    outbox.delete(counter);
    for (const row of copy.records) records.put(row);
    for (const row of copy.outbox) outbox.put(row);
    for (const row of copy.parked) parked.put(row);
    copy.kept.forEach((value, at) => kept.put(value, copy.keys[at]));
  });
}"""


def device(phone: BoatPhone) -> str:
    return str(phone.page.evaluate("import('/static/js/store/db.js').then((db) => db.getKept('device'))"))


def note_of(server: FaultyServer, record: str) -> Any:
    return server.records()[record]["note"]


def test_a_phone_put_back_from_an_older_copy_goes_on_as_another_device_and_its_edit_is_stored(
    phone: BoatPhone, server: FaultyServer
) -> None:
    saved = save(phone, *dives(1))
    (record,) = saved
    phone.sent()
    older, before = phone.page.evaluate(COPY), device(phone)
    for note in ("first", "second", "third"):
        save(phone, {"note": note}, record=record)
        phone.sent()
    assert device(phone) == before

    phone.page.evaluate(PUT_BACK, older)
    phone.context.set_offline(True)
    save(phone, {"note": "after the way back"}, record=record)
    phone.context.set_offline(False)
    send_now(phone)
    phone.sent()

    assert note_of(server, record) == "after the way back"
    assert device(phone) != before
    save(phone, {"effort": 7}, record=record)
    saved |= save(phone, *dives(1, at="10:40"))
    phone.sent()
    assert (note_of(server, record), server.records()[record]["effort"]) == ("after the way back", 7)
    assert sorted(saved) == sorted(row["record"] for row in phone.kept("records") if row["record"] in saved)
    (refused,) = server.ask("select count(*) from journal where status = 'refused'")
    assert refused == (0,)
