"""A thaw plan that two people signed, by its day; and whether the bookings have moved since."""

from msgspec import Struct

from thawline.base.findings import Finding, Level
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.plan_events import PlanSigned

CHANGED_PERCENT = 3
"""From how many percent on a change of the bookings is said; a choice of ours."""
_WHOLE = 100


class SignedPlan(Struct, frozen=True):
    """The newest signed plan of a day."""

    vials: int
    booked: int
    by: str
    second: str
    at_ms: int


class SignedPlanFold:
    """Entries to `SignedPlan`, by the ISO date of the day; the newest signature counts."""

    name = "signed_plan"
    state_type = SignedPlan

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({PlanSigned})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the day of a plan that was signed."""
        return (event.day,) if isinstance(event, PlanSigned) else ()

    def step(self, key: str, state: SignedPlan | None, entry: Entry) -> SignedPlan:  # noqa: ARG002
        """Return the plan that counts after the entry."""
        event = entry.event
        assert isinstance(event, PlanSigned)  # noqa: S101  `keys` gives no other
        return SignedPlan(event.vials, event.booked, entry.by, event.second, entry.hi_ms)


SIGNED_PLAN = SignedPlanFold()


def changed_since(signed: SignedPlan, booked: int, vials: int) -> tuple[Finding, ...]:
    """Return what is to be said where the bookings have moved since the plan was signed."""
    apart = abs(booked - signed.booked)
    if apart * _WHOLE <= CHANGED_PERCENT * signed.booked:
        return ()
    says = (
        f"bookings changed from {signed.booked} to {booked} since the plan was signed. "
        f"It says {signed.vials} vials, and would now say {vials}. Look at it and sign again"
    )
    return (Finding(Level.ACT, "bookings-changed", says),)
