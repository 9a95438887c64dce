"""Sharing: links for buddies, and the public view of the plan, which holds no health detail."""

from contextlib import suppress
from datetime import datetime, timedelta
from typing import Any

from webapp import store
from webapp.actions import events, planning, shared_crew, sites
from webapp.actions.errors import NotFound
from webapp.actions.planning import Current
from webapp.actions.shared_pause import running_pause
from webapp.actions.times import local_day, stamp
from webapp.actions.tokens import hashed, make_token
from webapp.records.changes import raw_on
from webapp.records.site import PHONES, PLAN_TEXTS, POSITION
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook
from webapp.store import feeds, kept_logs, seasons, users
from webapp.store import links as rows
from webapp.store.values import Link, User

LABEL_LONGEST = 80
MOST_LINKS = 50
ENDS_DAYS = (1, 7, 30, 90)
DAYS_LISTED = 7  # of the right to see the list: a phone asks again with each sync
NO_DIVING = "no diving"
NOT_PLANNED = "The plan of this season cannot be calculated at the moment: ask the diver what is planned."
OVER = "no more diving today"
NEW_BEST = "deeper than the best so far"  # of the target: how deep the best was is the diver's own
SITE_SHOWN = ("name", *POSITION, *PHONES, *PLAN_TEXTS, "note")
# The plan's own sentences mention verdicts and signs: a buddy reads these instead.
KINDS = {
    "deep": "a deep dive, then drills",
    "easy": "an easy day, no deep dive",
    "rest": "a rest day",
    "break": "the break between blocks",
    "closed": "a closed day",
}


def make_link(
    user_id: int,
    label: str,
    now: datetime,
    days: int | None = None,
    *,
    shows_over: bool = False,
    shows_crew: bool = False,
) -> str:
    """Make a link for a buddy, for so many days or for good, and return its token, which is not kept.

    It shows that the day is over, and the order of diving of the diver's crew, only if the diver says so.
    """
    if days is not None and days not in ENDS_DAYS:
        raise Refused([Fault("days", "must be one of the choices")])
    if len(label) > LABEL_LONGEST or not (label.isprintable() or not label):
        raise Refused([Fault("label", f"must be plain text of at most {LABEL_LONGEST} characters")])
    token = make_token()
    with store.transaction():
        if len(rows.list_links(user_id)) >= MOST_LINKS:
            raise Refused([Fault("", f"There are {MOST_LINKS} links already: take one back first")])
        ends = None if days is None else stamp(now + timedelta(days=days))
        rows.add_link(user_id, hashed(token), label, stamp(now), ends, shows_over=shows_over, shows_crew=shows_crew)
        events.note(user_id, "link_made", now)
    return token


def links(user_id: int) -> list[Link]:
    """Return a diver's links that still work."""
    with store.reading():
        return rows.list_links(user_id)


def revoke(user_id: int, link_id: int, now: datetime) -> None:
    """Take a link back; raises NotFound when this diver has no such link."""
    with store.transaction():
        if not rows.revoke_link(user_id, link_id):
            raise NotFound
        events.note(user_id, "link_revoked", now)


def shared_days(token: str, now: datetime) -> dict[str, Any]:
    """Return today's and the coming days as a buddy may see them; raises NotFound for a token that does not work."""
    with store.reading():
        link = rows.find_link(hashed(token), stamp(now))
        owner = users.get_user(link.user_id) if link else None
        if link is None or owner is None:
            raise NotFound
        today = local_day(now, owner.utc_offset_min)
        current = planning.current_if_any(owner.id, today)
        last_sync = users.last_sync(owner.id)
        unknown = [NOT_PLANNED] if current is None and seasons.active_season(owner.id) else []
        plan = _plan(owner.id, today)
        pause = _pause(owner, current, today)
        crew = {"crew": shared_crew.crew_days(owner.id, today)} if link.shows_crew else {}
    _touch(link, now)
    shown = _public(owner, current, today, unknown) | {"today": today, "pause": pause, "plan": plan, **crew}
    hidden = shown if link.shows_over else _without_over(shown)
    return hidden | {"as_of": stamp(now), "last_sync": last_sync}


def next_days(owner_id: int, now: datetime) -> dict[str, Any]:
    """Return today's and the coming days as a diver with the right to see the list may see them."""
    owner = users.get_user(owner_id)
    if owner is None:
        raise NotFound
    today = local_day(now, owner.utc_offset_min)
    shown = _without_over(_public(owner, planning.current_if_any(owner.id, today), today, []))
    return {"days": shown["days"][:DAYS_LISTED]}


def _pause(owner: User, current: Current | None, today: str) -> dict[str, Any] | None:
    """Return the pause that runs after today's last dive; none counts towards a next dive when there is to be none."""
    day = next((one for one in current.plan["days"] if one["date"] == today), None) if current else None
    if current is None or day is None or day["over"] or day["kind"] not in KINDS:
        return None
    log = kept_logs.log_of(feeds.log_feed(owner.id))
    dives = [dive for dive in log if dive["kind"] == "dive" and dive["date"] == today]
    return running_pause(current, dives, owner.utc_offset_min)


def _without_over(shown: dict[str, Any]) -> dict[str, Any]:
    """Return the list without the word that a day is over; what will not be dived is off it all the same."""
    days = [{**day, "over": False, "why": KINDS.get(day["kind"], NO_DIVING)} for day in shown["days"]]
    return {**shown, "days": days}


def _bottom(current: Current, today: str) -> dict[str, Any]:
    """Return the name of today's site and the depth of its bottom."""
    site = {**current.sheet["site"], **(raw_on(current.row.raw, today).get("site") or {})}
    return {"site": site["name"], "bottom_m": site.get("bottom_m")}


def _plan(user_id: int, today: str) -> dict[str, Any] | None:
    """Return the emergency plan of the season's site, field by field; None when there is none."""
    row = seasons.active_season(user_id)
    site = sites.of_season(user_id, row.raw, today) if row else None
    plan = {name: site[name] for name in SITE_SHOWN if site.get(name) not in (None, "")} if site else {}
    if not plan.keys() >= POSITION.keys():  # half a position is none
        plan = {name: value for name, value in plan.items() if name not in POSITION}
    return plan if plan.keys() - {"name"} else None


def _touch(link: Link, now: datetime) -> None:
    """Note once a day that the link is in use: the owner sees which ones nobody needs."""
    if (link.seen_at or "")[:10] != stamp(now)[:10]:
        with suppress(store.Unavailable), store.transaction():  # a buddy must see the list on a full disk too
            rows.touch_link(link.id, stamp(now))


def _public(owner: User, current: Current | None, today: str, unknown: list[str]) -> dict[str, Any]:
    cautions = unknown + list(read_rulebook().texts["cautions"]["share"])
    if current is None:
        return {"diver": owner.name, "season": None, "site": None, "bottom_m": None, "days": [], "cautions": cautions}
    days = [_day(day, current) for day in current.plan["days"] if day["date"] >= today]
    about = {"diver": owner.name, "season": current.row.name, **_bottom(current, today)}
    return {**about, "days": days, "cautions": cautions}


def _day(day: dict[str, Any], current: Current) -> dict[str, Any]:
    """Pick what may be seen, field by field, so that nothing new in the plan is shared by accident."""
    if day["kind"] not in KINDS:
        return {"date": day["date"], "kind": NO_DIVING, "why": NO_DIVING, "over": False, "dives": []}
    done = {dive["id"]: dive for dive in day["done"]}
    listed = [_dive(dive, current, done) for dive in day["dives"] if dive["done"] is not None or not day["over"]]
    dives = listed + [_made(dive) for dive in done.values()]
    return {
        "date": day["date"],
        "kind": day["kind"],
        "why": OVER if day["over"] else KINDS[day["kind"]],
        "over": day["over"] is not None,
        "dives": dives,
    }


def _dive(dive: dict[str, Any], current: Current, done: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """Return one dive of the list: planned, with what its safety diver prepares, or done and then out of `done`."""
    if dive["done"] is not None:
        return _made(done.pop(dive["done"]))
    seen = {name: dive[name] for name in ("discipline", "role", "target_m")}
    ladder = current.sheet["disciplines"].get(dive["discipline"], {"rungs": []})
    rung = next((rung for rung in ladder["rungs"] if rung["depth_m"] == dive["target_m"]), None)
    seconds = rung["expected_s"] if rung else current.expected_s(dive["discipline"], dive["target_m"])
    safety = _safety(rung["card"]) if rung else None
    says = NEW_BEST if dive.get("new_best") else ""
    return {**seen, "expected_s": seconds, "says": says, "safety": safety, "done": False}


def _made(logged: dict[str, Any]) -> dict[str, Any]:
    """Return a dive that was made, by its own target: the plan may have changed since; nothing is left to prepare."""
    target_m = logged["reached_m"] if logged["target_m"] is None else logged["target_m"]
    seen = {name: logged[name] for name in ("discipline", "role")}
    return {**seen, "target_m": target_m, "expected_s": None, "says": "", "safety": None, "done": True}


def _safety(card: dict[str, Any]) -> dict[str, Any]:
    """Return what the safety diver and the line keeper prepare: line, leaving, meeting, when the dive is overdue."""
    meet = card["meet"]
    return {
        "line_m": card["line_m"],
        "leave_s": meet["leave_s"],
        "meet_m": meet["depth_m"],
        "meet_s": meet["meet_s"],
        "overdue_s": card["overdue_s"],
    }
