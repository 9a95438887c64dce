"""Every address of the app in tables by who may come in, and a small world in which each of them leads somewhere.

The tables name every endpoint; one that is missing fails, so that a new page has to say who may see it.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from flask import Flask

from support.phones import DIVE, Phone
from webapp import store
from webapp.actions import access, crews, offers, seasons, sharing, sync
from webapp.store import feeds, passkeys, users
from webapp.store.sqlite.database import execute

SECRET = "cold hands at thirty, told to nobody"
# The same for everybody, signed in or not: no word of any diver.
FOR_EVERYBODY = {
    "static", "root.index", "root.health", "boat.shell", "share.shell", "pwa.manifest", "pwa.labels", "pwa.script",
    "pwa.style", "pwa.worker_list", "pwa.worker_version",
    "pwa.worker_file", "account.sign_in", "account.sign_up", "account.sign_out", "password.recover",
    "passkeys.options", "passkeys.sign_in", "rulebook.index",
}  # fmt: skip
# Opened by a token that cannot be guessed, not by an account.
BY_TOKEN = {"share.show", "share.days", "password.reset"}
# Of whoever is signed in: no address of theirs names anybody.
OWN = {
    "account.index", "account.invite", "account.sign_out_everywhere", "account.happened", "password.index",
    "password.recovery_code", "passkeys.add_options", "passkeys.add", "data.index", "data.export", "data.bring",
    "data.delete", "seasons.index", "seasons.new", "seasons.new_whole",
    "diver.index", "diver.change", "rulebook.change", "sharing.index",
    "sharing.make", "sync.exchange", "people.index", "people.offer", "crews.index", "crews.make",
    "outlook.latest", "what_if.index", "what_if.ask",
}  # fmt: skip
# One thing of one diver, named in the address.
OBJECTS = {
    "seasons.edit": {"season_id": 1}, "seasons.plan": {"season_id": 1}, "seasons.activate": {"season_id": 2},
    "seasons.take_back": {"season_id": 2, "day": "2027-05-20"},
    "seasons.delete": {"season_id": 2}, "seasons.restore": {"season_id": 3}, "sharing.revoke": {"link_id": 1},
    "passkeys.remove": {"passkey_id": 1},
    "people.take_back": {"offer_id": 1}, "people.rights": {"person": "a person"}, "people.end": {"person": "a person"},
    "people.leave": {"feed": "a log"}, "crews.show": {"feed": "a crew"}, "crews.history": {"feed": "a crew"},
    "crews.rename": {"feed": "a crew"}, "crews.invite": {"feed": "a crew"},
    "crews.take_back": {"feed": "a crew", "offer_id": 2}, "crews.remove": {"feed": "a crew", "person": "a person"},
    "crews.hand_over": {"feed": "another crew", "person": "a person"}, "crews.leave": {"feed": "a crew of hers"},
    "crews.delete": {"feed": "an empty crew"},
    "history.show": {"record": "a record"}, "history.put_back": {"record": "a record"},
}  # fmt: skip
# Opened by a token, but only for somebody who is signed in.
JOIN = {"join.show", "join.accept"}
# Guarded by where the request comes from, as a form's token would die in the outbox.
WITHOUT_TOKEN = {"sync.exchange"}


def rules(app: Flask, method: str, *endpoints: str) -> Iterator[Any]:
    for rule in app.url_map.iter_rules():
        if method in (rule.methods or ()) and rule.endpoint in endpoints:
            yield rule


def address(app: Flask, rule: Any, names: dict[str, str], **other: Any) -> str:
    """Return an address of this endpoint that leads to something of the first diver."""
    asked = {**OBJECTS, "password.reset": {"token": "made-up"}, **{key: {"token": "made-up"} for key in JOIN}}
    values = {name: names.get(str(value), value) for name, value in asked.get(rule.endpoint, {}).items()}
    with app.test_request_context():
        return str(app.url_map.bind("localhost").build(rule.endpoint, {**values, **other}))


def things_of_the_first(now: datetime) -> dict[str, str]:
    """Give the first diver a dive, more seasons, one changed, one deleted, a link, a passkey, crews and a friend."""
    phone = Phone()
    record = phone.put(fields={**DIVE, "date": "2027-05-03", "note": SECRET})
    sync.sync(1, phone.request(today="2027-05-10"), now)
    raw = seasons.get_season(1, 1).raw
    for at in (2, 3):
        seasons.save_season(1, None, f"Season {at}", raw, now)
    change = {"from": "2027-05-20", "set": {"last_day": "2027-05-31"}}
    seasons.save_season(1, 2, "Season 2", {**raw, "changes": [change]}, now)
    seasons.delete_season(1, 3, now)
    sharing.make_link(1, "Ebba", now)
    with store.transaction():
        passkeys.add_passkey(1, "a credential", "a key", 0, "Boat phone", "2027-05-10T09:30:00Z")
    return {"a record": record, **_friend_of_the_first(now)}


def number(name: str) -> int:
    """Return the number of the feed of this name; the caller reads."""
    return int(execute("SELECT id FROM feed WHERE name = ?", (name,)).fetchone()[0])


def _friend_of_the_first(now: datetime) -> dict[str, str]:
    at = "2027-05-10T09:00:00Z"
    with store.transaction():
        friend = users.add_user("Ilka Varn", "ilka varn", "none", at)
        feeds.put_member(1, friend.id, access.whole(["log"]), at)
        feeds.put_member(feeds.log_feed(friend.id), 1, access.whole(["log"]), at)
    offers.offer_log(1, ["list"], "Odd", 7, now)
    names = {key: crews.make(1, "Skarn boat", now) for key in ("a crew", "another crew", "an empty crew")}
    names["a crew of hers"] = crews.make(friend.id, "Varn boat", now)
    crews.invite(1, names["a crew"], 7, now)
    with store.transaction():
        for key, member in (("a crew", friend.id), ("another crew", friend.id), ("a crew of hers", 1)):
            feeds.put_member(number(names[key]), member, access.OF_CREW, at)
        person = feeds.person_of(friend.id).person
    return {**names, "a person": person, "a log": person}
