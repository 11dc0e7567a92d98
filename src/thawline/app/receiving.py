"""What comes in: frozen cartons, thawed vials with their history, ready-drawn syringes."""

from dataclasses import dataclass
from decimal import Decimal

from thawline.app.acts import Doing, Outcome, act
from thawline.app.ports import Site
from thawline.app.standings import in_force
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level, has_stop, worst_first
from thawline.base.instants import Instant, to_ms
from thawline.base.quantities import millicelsius
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import ShipmentArrived, SyringesArrived, VialsArrived
from thawline.receive.inspection import Arrival, arrival_findings, carried_findings
from thawline.vial.codes import read_vial_code
from thawline.vial.expiry import read_expiry

_LONGEST_LOT = 20
"""Source: GS1 application identifier 10, X..20 (clinical check values, section 6.5)."""


@dataclass(frozen=True, slots=True)
class Label:
    """A lot and its expiry, as printed."""

    lot: str
    expiry: str

    def __post_init__(self) -> None:
        if not self.lot.strip() or "|" in self.lot or len(self.lot) > _LONGEST_LOT:
            raise RecordError(f"not a lot: {self.lot!r}", advice="enter the lot as printed")
        read_expiry(self.expiry)


def receive_frozen(
    site: Site, doing: Doing, label: Label, unit: str, arrival: Arrival
) -> Outcome:
    """Record sealed frozen cartons of one lot in a storage unit; soft ones are held."""
    if arrival.vials < 1:
        raise RecordError(f"vials must be 1 or more: {arrival.vials}")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        found = list(arrival_findings(arrival, rules.protocol))
        event = ShipmentArrived(
            lot=label.lot,
            expiry=label.expiry,
            unit=unit,
            vials=arrival.vials,
            doses_per_vial=rules.protocol.product.doses_per_vial.value,
            listed_vials=arrival.listed_vials,
            temperature_mc=_millicelsius(arrival.temperature_c),
            dry_ice=arrival.dry_ice,
            damage=arrival.damage,
            soft=has_stop(found),
        )
        return Decision(event, worst_first(found), rules.ref)

    command = _command("vial receive", label, unit=unit, vials=arrival.vials)
    return act(site, doing, command, decide, kind=Kind.FACT)


@dataclass(frozen=True, slots=True)
class Thawed:
    """What came with thawed vials; None: not known, which holds them."""

    doses: int | None = None
    thawed_lo: Instant | None = None
    thawed_hi: Instant | None = None
    room_used_min: int | None = None
    transport_used_min: int | None = None
    trips_used: int | None = None
    from_site: str | None = None
    by_mode: str | None = None
    carried_min: int | None = None  # the trip that ended here, already in transport_used_min


def receive_thawed(
    site: Site, doing: Doing, label: Label, vials: tuple[str, ...], came: Thawed
) -> Outcome:
    """Record thawed vials with their codes and history; a gap in the history holds them."""
    codes = tuple(read_vial_code(code, came.from_site or site.name) for code in vials)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        held = list(carried_findings(came.by_mode, came.carried_min, rules.protocol))
        event = VialsArrived(
            vials=codes,
            lot=label.lot,
            expiry=label.expiry,
            doses=came.doses or rules.protocol.product.doses_per_vial.value,
            from_site=came.from_site,
            thawed_lo_ms=None if came.thawed_lo is None else to_ms(came.thawed_lo),
            thawed_hi_ms=None if came.thawed_hi is None else to_ms(came.thawed_hi),
            room_used_min=came.room_used_min,
            transport_used_min=came.transport_used_min,
            trips_used=came.trips_used,
            held="; ".join(finding.says for finding in held),
        )
        return Decision(event, (*held, *_gaps(event)), rules.ref)

    command = _command("vial arrive", label, vials=list(codes))
    return act(site, doing, command, decide, kind=Kind.FACT)


def receive_syringes(
    site: Site,
    doing: Doing,
    event: SyringesArrived,
) -> Outcome:
    """Record ready-drawn syringes; without puncture time, who drew and use-by they are held."""

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        needed = (event.punctured_ms, event.drawn_by, event.use_by_ms)
        found = () if None not in needed else (_syringes_held(),)
        return Decision(event, found, rules.ref)

    command: dict[str, Plain] = {"command": "vial syringes", "syringes": list(event.syringes)}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _gaps(event: VialsArrived) -> list[Finding]:
    known = {
        "thaw start": event.thawed_lo_ms,
        "room minutes": event.room_used_min,
        "transport minutes": event.transport_used_min,
        "trips": event.trips_used,
    }
    missing = [name for name, value in known.items() if value is None]
    if not missing:
        return []
    says = f"held, do not use, do not discard: not known: {', '.join(missing)}; ask who sent it"
    return [Finding(Level.STOP, "arrived-without-history", says)]


def _syringes_held() -> Finding:
    says = "held: ready-drawn syringes need lot, puncture time, who drew them and use-by"
    return Finding(Level.STOP, "arrived-without-history", says)


def _millicelsius(temperature_c: Decimal | None) -> int | None:
    return None if temperature_c is None else millicelsius(temperature_c)


def _command(name: str, label: Label, **more: Plain) -> dict[str, Plain]:
    return {"command": name, "lot": label.lot, "expiry": label.expiry, **more}
