"""What a coach proposed to a diver, where the diver takes it over on shore."""

from dataclasses import dataclass

from webapp import store
from webapp.records.proposal import PROPOSALS
from webapp.store import feeds, records

SETTING, KIND = PROPOSALS[3], "proposal"
_OF_LEVEL = "ladder."  # numbers of this group may be set for each discipline of a season


@dataclass(frozen=True)
class Proposed:
    """A number of the rulebook that is to change: to what, from which day on, and who says so."""

    setting: str
    value: float
    from_day: str
    by: str

    @property
    def part(self) -> str:
        """Return how a discipline of a season calls it, "" when that has no such number."""
        return self.setting.removeprefix(_OF_LEVEL) if self.setting.startswith(_OF_LEVEL) else ""

    @property
    def why(self) -> str:
        """Return the reason that stands beside the change."""
        return f"Proposed by {self.by or 'a coach'}"

    @property
    def says(self) -> str:
        """Return what stands beside a field that is filled in."""
        return f"{self.why}, not saved yet."


def setting_of(user_id: int, record: str) -> Proposed | None:
    """Return the changed setting of this record in the diver's log; None when it is something else, or not there."""
    with store.reading():
        found = records.get_records(feeds.log_feed(user_id), [record]).get(record)
    if found is None or found.deleted or found.kind != KIND or found.fields["what"] != SETTING:
        return None
    fields = found.fields
    return Proposed(fields["setting"], fields["value"], fields["date"], fields["by"])
