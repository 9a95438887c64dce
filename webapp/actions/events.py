"""What happened with an account: kept for its diver to see, and written to the server's log as one line of JSON.

Neither has a name, an address or a token in it: the diver's number, the moment and a word are enough to follow a case.
"""

import json
import logging
from datetime import datetime

from webapp import store
from webapp.actions.times import stamp
from webapp.store import happenings
from webapp.store.values import Event

WORDS = {
    "signed_up": "Account made",
    "signed_in": "Signed in with the password",
    "signed_in_passkey": "Signed in with a passkey",
    "refused": "Wrong password",
    "signed_out": "Signed out",
    "signed_out_everywhere": "Signed out on every device",
    "password_changed": "Password changed",
    "password_reset": "New password by a link of the operator",
    "password_recovered": "New password by the recovery code",
    "reset_made": "The operator made a link for a new password",
    "recovery_made": "New recovery code made",
    "passkey_added": "Passkey added",
    "passkey_removed": "Passkey removed",
    "invitation_made": "Invitation made",
    "invitations_ended": "Open invitations ended",
    "link_made": "Buddy link made",
    "link_revoked": "Buddy link taken back",
    "links_revoked": "All buddy links taken back",
    "offer_made": "Link made that shares the log or opens a crew",
    "offer_taken_back": "Such a link taken back",
    "offers_taken_back": "All such links taken back",
    "offer_used": "Somebody accepted what you share of your log",
    "offer_accepted": "You accepted what somebody shares of their log",
    "rights_changed": "What you share with somebody changed",
    "rights_ended": "Sharing your log with somebody ended",
    "my_rights_changed": "Somebody changed what they share with you",
    "my_rights_ended": "Somebody ended sharing their log with you",
    "rights_given_up": "You gave up what somebody shared with you",
    "crew_made": "Crew made",
    "crew_renamed": "Crew renamed",
    "crew_joined": "Somebody joined your crew",
    "joined_crew": "You joined a crew",
    "crew_left": "You left a crew",
    "crew_member_left": "Somebody left your crew",
    "crew_member_removed": "You removed somebody from your crew",
    "removed_from_crew": "You were removed from a crew",
    "crew_handed_over": "You handed a crew over",
    "crew_received": "A crew became yours",
    "crew_deleted": "Crew deleted",
    "season_deleted": "Season deleted",
    "season_restored": "Season brought back",
    "account_deleted": "Account deleted",
}
log = logging.getLogger("lineslate.events")


def note(user_id: int, what: str, now: datetime) -> None:
    """Note an event in the open transaction and in the server's log; KeyError for a word that is not in the table."""
    happenings.add_event(user_id, what, stamp(now))
    tell(user_id, what, now)


def tell(user_id: int | None, what: str, now: datetime) -> None:
    """Write an event to the server's log only; without a diver when the name that was typed is nobody's."""
    log.info(json.dumps({"at": stamp(now), "diver": user_id, "what": what, "says": WORDS[what]}))


def has_happened(user_id: int, what: str) -> bool:
    """Tell whether this is among the events that are kept of a diver."""
    with store.reading():
        return happenings.has_event(user_id, what)


def events(user_id: int) -> list[Event]:
    """Return what happened with a diver's account, the latest first."""
    with store.reading():
        return happenings.list_events(user_id)
