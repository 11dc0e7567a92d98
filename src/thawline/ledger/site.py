"""The state of the site itself: which protocols were adopted, how many vials have codes."""

from msgspec import Struct
from msgspec.structs import replace

from thawline.ledger.entries import Entry
from thawline.ledger.events import DayClosed, Event, ProtocolAdopted, VialMoved, VialsArrived
from thawline.rules.protocol import ProtocolRef


class Adopted(Struct, frozen=True):
    """
    A protocol version the site took into use, and from when the file says it counts.

    `counts_from_ms`: from when it counts here, never before it was adopted.
    """

    ref: ProtocolRef
    effective_from_ms: int
    counts_from_ms: int


class SiteState(Struct, frozen=True):
    """The site's own state; `coded` counts the vials that were given a code here."""

    adopted: tuple[Adopted, ...] = ()
    coded: int = 0
    closed: tuple[str, ...] = ()


KEY = "site"


class SiteFold:
    """Entries to `SiteState`, under one key."""

    name = "site"
    state_type = SiteState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({VialMoved, VialsArrived, ProtocolAdopted, DayClosed})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the one key for the events that concern the site itself."""
        concerns = bool(_coded(event)) or isinstance(event, ProtocolAdopted | DayClosed)
        return (KEY,) if concerns else ()

    def step(self, key: str, state: SiteState | None, entry: Entry) -> SiteState:  # noqa: ARG002
        """Return the site's state after the entry."""
        site, event = state or SiteState(), entry.event
        if isinstance(event, ProtocolAdopted):
            ref = ProtocolRef(event.protocol_id, event.version, event.sha256)
            says = event.effective_from_ms
            adopted = Adopted(ref, says, max(says, entry.recorded_ms))
            return replace(site, adopted=(*site.adopted, adopted))
        if isinstance(event, DayClosed):
            return replace(site, closed=(*site.closed, event.day))
        return replace(site, coded=site.coded + len(_coded(event)))


SITE = SiteFold()


def _coded(event: Event) -> tuple[str, ...]:
    """Return the vials that got their code at this site by the event."""
    if isinstance(event, VialMoved) and event.from_unit is not None:
        return event.vials
    if isinstance(event, VialsArrived) and event.from_site is None:
        return event.vials
    return ()
