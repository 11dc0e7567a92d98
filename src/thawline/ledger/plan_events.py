"""What is written down of plans, in the past tense."""

from thawline.ledger.events import Event


class PlanSigned(Event, frozen=True, kw_only=True):
    """Two people signed how many vials are thawed for a day; what it rested on is in it."""

    day: str  # ISO date
    vials: int
    low: int
    likely: int
    high: int
    booked: int
    service_permille: int
    no_show: str  # as the plan said it
    second: str
    as_of_ms: int | None = None  # when the newest booking was recorded; None: not known
