"""What can happen on the standby list, in the past tense; codes only, no names, no numbers."""

from thawline.ledger.events import Event


class StandbyAdded(Event, frozen=True, kw_only=True):
    """Somebody would come at short notice; asked again, the newest counts, the place stays."""

    person: str
    travel_min: int
    priority: int | None = None  # as the site sets it: 1 is called first


class StandbyCalled(Event, frozen=True, kw_only=True):
    """Somebody on the list was called about a dose left over, and answered or did not."""

    person: str
    answer: str  # comes, no, no-answer
