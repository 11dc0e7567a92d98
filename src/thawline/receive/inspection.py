"""
The arrival check: what the person at the door saw, against the list and the rules.

What is soft or partly thawed is held: kept in the refrigerator, not used, not discarded.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.rules.protocol import Protocol


@dataclass(frozen=True, slots=True)
class Arrival:
    """What was seen when frozen cartons came in; None: not looked at."""

    vials: int
    listed_vials: int | None = None
    temperature_c: Decimal | None = None
    dry_ice: bool = False
    damage: str = ""
    soft: bool = False


def arrival_findings(arrival: Arrival, protocol: Protocol) -> Iterator[Finding]:
    """Yield what is not in order; any stop means the cartons are held."""
    yield from _listed(arrival)
    yield from _temperature(arrival, protocol)
    if arrival.soft:
        says = (
            "soft or partly thawed: held, do not use, do not discard; into the refrigerator, "
            "never back to the freezer; call"
        )
        yield Finding(Level.STOP, "soft-on-arrival", says)
    if arrival.dry_ice and not _dry_ice_allowed(protocol):
        says = "came on dry ice, which the protocol does not allow: held, do not discard, call"
        yield Finding(Level.STOP, "dry-ice", says, protocol.bands["frozen"].item)
    if arrival.damage:
        yield Finding(Level.ACT, "damaged", f"damaged: {arrival.damage}; look at every vial")


def label_findings(lot: str, ended: Instant, at: Instant) -> Iterator[Finding]:
    """Yield a stop when the last day on the label was over by then; `ended` is its end."""
    if at >= ended:
        says = f"lot {lot} is past the expiry on its label: do not use; set apart and call"
        yield Finding(Level.STOP, "expired", says)


def _listed(arrival: Arrival) -> Iterator[Finding]:
    if arrival.listed_vials is None:
        yield Finding(Level.CHECK, "no-packing-list", "not compared with a packing list")
    elif arrival.listed_vials != arrival.vials:
        says = f"{arrival.vials} vials counted, {arrival.listed_vials} on the packing list"
        yield Finding(Level.ACT, "list-differs", says)


def _temperature(arrival: Arrival, protocol: Protocol) -> Iterator[Finding]:
    band = protocol.bands["frozen"]
    if arrival.temperature_c is None:
        says = "temperature on arrival not read"
        yield Finding(Level.CHECK, "temperature-not-read", says, band.item)
    elif not band.low_c <= arrival.temperature_c <= band.high_c:
        says = (
            f"{arrival.temperature_c} °C on arrival, outside {band.low_c} to {band.high_c} °C: "
            "held, do not use, do not discard, keep cold and apart, call"
        )
        yield Finding(Level.STOP, "warm-on-arrival", says, band.item)


def _dry_ice_allowed(protocol: Protocol) -> bool:
    permission = protocol.handling.dry_ice
    return permission is not None and permission.may


def carried_findings(
    mode: str | None, minutes: int | None, protocol: Protocol
) -> Iterator[Finding]:
    """Yield what the protocol says against how, and how long, thawed vials were carried."""
    if mode is None or minutes is None:
        return
    way = protocol.transport.by.get(mode)
    if way is None or way.allows is None:
        says = f"held: carried by {mode}, which the protocol does not allow"
        yield Finding(Level.STOP, "mode-not-allowed", says, way.item if way else None)
    elif timedelta(minutes=minutes) > way.allows.longest():
        most = spoken(way.allows.longest())
        says = f"held: carried by {mode} for {minutes} min; at most {most}"
        yield Finding(Level.STOP, "carried-too-long", says, way.item)
