"""The table of kinds: everything that a phone may write is a record of one of these.

A new kind is a row here, its strict check in `webapp.records`, and the page that writes it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from ..records.clearance import CLEARANCE_FIELDS, check_clearance
from ..records.crew import (
    ABOARD_FIELDS,
    CREW_DAY_FIELDS,
    GUEST_FIELDS,
    TURN_FIELDS,
    check_aboard,
    check_crew_day,
    check_guest,
    check_turn,
)
from ..records.day import DAY_FIELDS, READINESS, WHOLE_DAY, check_boat_day
from ..records.dive import DIVE_FIELDS, check_dive
from ..records.focus import FOCUS_FIELDS, check_focus
from ..records.measure import MEASURE_FIELDS, check_measure
from ..records.proposal import PROPOSAL_FIELDS, check_proposal
from ..records.review import REVIEW_FIELDS, check_review
from ..records.site import SITE_FIELDS, check_site
from ..rulebook.rulebook import Rulebook

LOG, CREW = "log", "crew"  # kinds of feeds
OF_CREW = frozenset({CREW})
Check = Callable[[object, Rulebook], dict[str, Any]]


@dataclass(frozen=True)
class Kind:
    """One kind of record.

    `fields` holds each field with its label; `day` names the field with the day that the record belongs to, "" if it
    belongs to none; `heading` those that tell it from others of its day; `shared_with` who may see it beside its diver:
    buddy, crew, coach; `private` the fields that nobody else ever sees; `feed` the kind of feed that
    holds it: one of a log has a file in the diver's export; one of a crew is its members', and has none; `joined` the
    lists that keep what each says when two phones make the same record before they meet.
    """

    label: str
    file: str
    fields: Mapping[str, str]
    check: Check
    day: str
    heading: tuple[str, ...] = ()
    shared_with: frozenset[str] = frozenset()
    private: frozenset[str] = frozenset()
    feed: str = LOG
    joined: frozenset[str] = frozenset()

    def day_of(self, fields: Mapping[str, Any]) -> str:
        """Return the day that a record belongs to, "" when its fields do not say."""
        return str(fields.get(self.day) or "")

    def about(self, fields: Mapping[str, Any]) -> list[str]:
        """Return what tells this record from others, the day first; what is not there is left out."""
        return [str(fields[name]) for name in (self.day, *self.heading) if fields.get(name)]


KINDS: dict[str, Kind] = {
    "dive": Kind(
        label="dive",
        file="dives.csv",
        fields=DIVE_FIELDS,
        check=check_dive,
        day="date",
        heading=("at", "discipline"),
        shared_with=frozenset({"buddy", "crew", "coach"}),
        joined=frozenset({"signs"}),
    ),
    "clearance": Kind(
        label="doctor's clearance",
        file="clearances.csv",
        fields=CLEARANCE_FIELDS,
        check=check_clearance,
        day="clearance",
        heading=("by",),
        shared_with=frozenset({"coach"}),
    ),
    "day": Kind(
        label="change to a day",
        file="days.csv",
        fields=DAY_FIELDS,
        check=check_boat_day,
        day="date",
        heading=("no_diving",),
        shared_with=frozenset({"crew", "coach"}),
        private=frozenset({*READINESS, *WHOLE_DAY}),
    ),
    "site": Kind(
        label="dive site",
        file="sites.csv",
        fields=SITE_FIELDS,
        check=check_site,
        day="",
        heading=("name",),
        shared_with=frozenset({"buddy", "crew", "coach"}),
    ),
    "focus": Kind(
        label="technique focus",
        file="focuses.csv",
        fields=FOCUS_FIELDS,
        check=check_focus,
        day="from",
        heading=("discipline", "says"),
        shared_with=frozenset({"coach"}),
    ),
    "measure": Kind(
        label="measured on video",
        file="measures.csv",
        fields=MEASURE_FIELDS,
        check=check_measure,
        day="date",
        heading=("discipline", "style"),
        shared_with=frozenset({"coach"}),
    ),
    "proposal": Kind(
        label="proposal of a coach",
        file="proposals.csv",
        fields=PROPOSAL_FIELDS,
        check=check_proposal,
        day="date",
        heading=("what", "by"),
        shared_with=frozenset({"coach"}),
    ),
    "review": Kind(
        label="review of a block",
        file="reviews.csv",
        fields=REVIEW_FIELDS,
        check=check_review,
        day="date",
        shared_with=frozenset({"coach"}),
    ),
    "crew_day": Kind("day of a crew", "", CREW_DAY_FIELDS, check_crew_day, "date", ("site",), OF_CREW, feed=CREW),
    "crew_site": Kind("site of a crew", "", SITE_FIELDS, check_site, "", ("name",), OF_CREW, feed=CREW),
    "guest": Kind("guest", "", GUEST_FIELDS, check_guest, "", ("name",), OF_CREW, feed=CREW),
    "aboard": Kind("person on board", "", ABOARD_FIELDS, check_aboard, "date", ("name",), OF_CREW, feed=CREW),
    "turn": Kind(
        "dive of a crew's list", "", TURN_FIELDS, check_turn, "date", ("discipline", "role"), OF_CREW, feed=CREW
    ),
}


def of_feed(feed: str) -> tuple[str, ...]:
    """Return the kinds that belong in this kind of feed."""
    return tuple(name for name, kind in KINDS.items() if kind.feed == feed)


def check_record(kind: str, fields: object, book: Rulebook) -> dict[str, Any]:
    """Return the checked fields of a record of this kind; raises Refused with every fault."""
    return KINDS[kind].check(fields, book)


def day_of(record: Mapping[str, Any]) -> str:
    """Return the day that a record of the log belongs to, by its kind."""
    return KINDS[record["kind"]].day_of(record)
