"""What can happen to vials on their way between sites, in the past tense."""

from thawline.ledger.events import Event


class TripEnded(Event, frozen=True, kw_only=True):
    """Vials that were sent reached the other site; written at the site that sent them."""

    vials: tuple[str, ...]
    to_site: str
