"""The exceptions that actions raise, besides the rulebook's Refused.

NotFound   it does not exist, or it is somebody else's: the answer is the same for both
Forbidden  it exists, but this diver may not do that with it
Unavailable  the store cannot be used for now
"""

from webapp.store import Unavailable

__all__ = ["Forbidden", "NotFound", "Unavailable"]


class NotFound(Exception):
    """There is nothing of this name for this diver."""


class Forbidden(Exception):
    """This diver may not do that."""
