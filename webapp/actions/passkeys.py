"""Passkeys (WebAuthn): a key in the phone or computer that signs a diver in, so that no password is typed by wet hands.

The package `webauthn` does the cryptography. It is loaded when it is needed only: that takes a while.
"""

import json
from datetime import datetime
from typing import Any, NamedTuple

from webapp import store
from webapp.actions import events
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.rulebook.faults import Fault, Refused
from webapp.store import passkeys as rows
from webapp.store.values import Passkey, User

MOST, LABEL_LONGEST = 20, 60
NOT_MADE = "The passkey could not be made: try again"
WRONG = "This passkey is not known here: sign in with the password"


class Place(NamedTuple):
    """Where the app is reached: the host alone, and the whole origin, as the browser signs them."""

    host: str
    origin: str


class Asked(NamedTuple):
    """What the browser is asked, as JSON values, and the challenge that its answer must contain, as base64url."""

    options: dict[str, Any]
    challenge: str


def passkeys(user_id: int) -> list[Passkey]:
    """Return a diver's passkeys."""
    with store.reading():
        return rows.list_passkeys(user_id)


def ask_to_add(user: User, place: Place) -> Asked:
    """Return what the browser needs to make a passkey; raises Refused when there are too many already."""
    from webauthn import generate_registration_options
    from webauthn.helpers import base64url_to_bytes
    from webauthn.helpers.structs import (
        AuthenticatorSelectionCriteria,
        PublicKeyCredentialDescriptor,
        ResidentKeyRequirement,
        UserVerificationRequirement,
    )

    known = passkeys(user.id)
    if len(known) >= MOST:
        raise Refused([Fault("", f"There are {MOST} passkeys already: remove one first")])
    options = generate_registration_options(
        rp_id=place.host, rp_name="Lineslate", user_id=str(user.id).encode(), user_name=user.name,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED, user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=[PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential)) for one in known],
    )  # fmt: skip
    return _asked(options)


def add(user_id: int, answer: Any, asked: Asked | None, place: Place, label: str, now: datetime) -> None:
    """Keep the passkey that the browser made; raises Refused when it is not an answer to what was asked."""
    from webauthn import verify_registration_response
    from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

    if len(label) > LABEL_LONGEST or not label.isprintable():
        raise Refused([Fault("label", f"must be plain text of at most {LABEL_LONGEST} characters")])
    try:
        made = verify_registration_response(
            credential=answer, expected_challenge=base64url_to_bytes(asked.challenge if asked else ""),
            expected_rp_id=place.host, expected_origin=place.origin, require_user_verification=True,
        )  # fmt: skip
    except Exception as error:  # whatever is wrong with what was sent: the package has many errors for it
        raise Refused([Fault("", NOT_MADE)]) from error
    credential, key = bytes_to_base64url(made.credential_id), bytes_to_base64url(made.credential_public_key)
    with store.transaction():
        if rows.find_passkey(credential) is not None:
            raise Refused([Fault("", NOT_MADE)])
        rows.add_passkey(user_id, credential, key, made.sign_count, label.strip(), stamp(now))
        events.note(user_id, "passkey_added", now)


def remove(user_id: int, passkey_id: int, now: datetime) -> None:
    """Remove a passkey: it no longer signs anybody in. Raises NotFound when this diver has no such one."""
    with store.transaction():
        if not rows.remove_passkey(user_id, passkey_id):
            raise NotFound
        events.note(user_id, "passkey_removed", now)


def ask_to_sign_in(place: Place) -> Asked:
    """Return what the browser needs to sign somebody in; it finds the passkey by itself."""
    from webauthn import generate_authentication_options
    from webauthn.helpers.structs import UserVerificationRequirement

    return _asked(
        generate_authentication_options(rp_id=place.host, user_verification=UserVerificationRequirement.REQUIRED)
    )


def sign_in(answer: Any, asked: Asked | None, place: Place, now: datetime) -> int:
    """Return whose passkey answered; raises Refused with one fault when it is nobody's or answers something else."""
    from webauthn import verify_authentication_response
    from webauthn.helpers import base64url_to_bytes

    given = answer.get("id") if isinstance(answer, dict) else None
    with store.reading():
        known = rows.find_passkey(given) if isinstance(given, str) else None
    try:
        if known is None:
            raise ValueError("not known")
        found = verify_authentication_response(
            credential=answer, expected_challenge=base64url_to_bytes(asked.challenge if asked else ""),
            expected_rp_id=place.host, expected_origin=place.origin, require_user_verification=True,
            credential_public_key=base64url_to_bytes(known.public_key),
            credential_current_sign_count=known.sign_count,
        )  # fmt: skip
    except Exception as error:  # whatever is wrong with what was sent: the package has many errors for it
        events.tell(known.user_id if known else None, "refused", now)
        raise Refused([Fault("", WRONG)]) from error
    with store.transaction():
        rows.touch_passkey(known.id, found.new_sign_count, stamp(now))
    return known.user_id


def _asked(options: Any) -> Asked:
    from webauthn import options_to_json
    from webauthn.helpers import bytes_to_base64url

    return Asked(json.loads(options_to_json(options)), bytes_to_base64url(options.challenge))
