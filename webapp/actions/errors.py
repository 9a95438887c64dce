"""The exceptions that actions raise, besides the rulebook's Refused.

NotFound   it does not exist, or it is somebody else's: the answer is the same for both
Forbidden  it exists, but this diver may not do that with it
NotPlanned  a season that is stored cannot be planned as it is
PastChanges  a correction would change targets of days gone by, and nobody has seen which
Unavailable  the store cannot be used for now
"""

from collections.abc import Iterable

from webapp.planner.comparison import Row
from webapp.rulebook.faults import Fault
from webapp.store import Unavailable

__all__ = ["Forbidden", "NotFound", "NotPlanned", "PastChanges", "Unavailable"]

NOT_PLANNED = (
    "This season cannot be planned as it is. Change it or its rules on the shore pages; "
    "the log is safe, and a phone goes on with the last plan that it was sent."
)


class NotFound(Exception):
    """There is nothing of this name for this diver."""


class Forbidden(Exception):
    """This diver may not do that."""


class NotPlanned(Exception):
    """A stored season cannot be planned as it is; `faults` says what is wrong with it, as far as that is known."""

    def __init__(self, faults: Iterable[Fault] = ()) -> None:
        self.faults = tuple(faults)
        super().__init__(NOT_PLANNED)


class PastChanges(Exception):
    """A correction would change targets of days gone by: `rows` says which, with the old and the new target."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.rows = tuple(rows)
        super().__init__("Targets of days gone by would read differently.")
