"""What can happen between two shifts, in the past tense: counts only, no words about people."""

from thawline.ledger.events import Event


class HandoverAccepted(Event, frozen=True, kw_only=True):
    """Somebody read the handover page with who goes, and takes over as things stood then."""

    handed_by: str
    open_vials: int
    held: int
    alerts: int
