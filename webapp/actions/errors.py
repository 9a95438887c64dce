"""The words in which actions say no, beside the rulebook's Refused.

NotFound   there is none, or it is somebody else's: the two are told apart to nobody
Forbidden  it is there, and this diver may not do that with it
Unavailable  the store cannot be used for now
"""

from webapp.store import Unavailable

__all__ = ["Forbidden", "NotFound", "Unavailable"]


class NotFound(Exception):
    """There is nothing of this name for this diver."""


class Forbidden(Exception):
    """This diver may not do that."""
