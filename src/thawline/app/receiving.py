"""What comes in: frozen cartons, thawed vials with their history, ready-drawn syringes."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from msgspec import to_builtins
from msgspec.structs import replace

from thawline.app.acts import Doing, Outcome, act
from thawline.app.coding import new_codes
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.app.units import into
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level, has_stop, worst_first
from thawline.base.ids import VialCode
from thawline.base.instants import Instant, from_ms, instant, midnight_after, to_ms, written
from thawline.base.quantities import millicelsius
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import ShipmentArrived, SyringesArrived, VialsArrived
from thawline.receive.inspection import (
    Arrival,
    arrival_findings,
    carried_findings,
    label_findings,
)
from thawline.rules.protocol import Protocol, Starts
from thawline.vial.codes import read_vial_code
from thawline.vial.expiry import read_expiry
from thawline.vial.folds import VIAL
from thawline.vial.syringes import SYRINGE

_LONGEST_LOT = 20
"""Source: GS1 application identifier 10, X..20 (clinical check values, section 6.5)."""


@dataclass(frozen=True, slots=True)
class Label:
    """A lot and its expiry, as printed."""

    lot: str
    expiry: str

    def __post_init__(self) -> None:
        _check_lot(self.lot)
        read_expiry(self.expiry)

    def ends(self, zone: ZoneInfo) -> Instant:
        """Return when the last day on the label is over at the place."""
        return midnight_after(read_expiry(self.expiry), zone)


def _check_lot(lot: str) -> None:
    if not lot.strip() or not lot.isprintable() or "|" in lot or len(lot) > _LONGEST_LOT:
        raise RecordError(f"not a lot: {lot!r}", advice="enter the lot as printed")


def receive_frozen(
    site: Site, doing: Doing, label: Label, unit: str, arrival: Arrival
) -> Outcome:
    """Record sealed frozen cartons of one lot in a storage unit; soft ones are held."""
    if arrival.vials < 1:
        raise RecordError(f"vials must be 1 or more: {arrival.vials}")
    freezer = into(site, "freezer", unit)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        found = list(arrival_findings(arrival, rules.protocol))
        event = ShipmentArrived(
            lot=label.lot,
            expiry=label.expiry,
            unit=freezer,
            vials=arrival.vials,
            doses_per_vial=rules.protocol.product.doses_per_vial.value,
            listed_vials=arrival.listed_vials,
            temperature_mc=_millicelsius(arrival.temperature_c),
            dry_ice=arrival.dry_ice,
            damage=arrival.damage,
            soft=has_stop(found),
        )
        expired = label_findings(label.lot, label.ends(site.zone), doing.at)
        return Decision(event, worst_first([*found, *expired]), rules.ref)

    seen = {**asdict(arrival), "temperature_c": _written(arrival.temperature_c)}
    command = _command("vial receive", label, unit=unit, seen=seen)
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
    held: str = ""  # why the sender says they may not be used
    unit: str = ""  # the refrigerator they went into; empty: the only one there is

    def __post_init__(self) -> None:
        figures = (self.doses, self.room_used_min, self.transport_used_min, self.trips_used)
        if any(figure is not None and figure < 0 for figure in figures):
            raise RecordError(
                f"a history below zero: {figures}", advice="doses, minutes and trips from 0 on"
            )


def receive_thawed(
    site: Site, doing: Doing, label: Label, vials: tuple[str, ...], came: Thawed
) -> Outcome:
    """Record thawed vials with their codes and history; a gap in the history holds them."""
    codes = tuple(read_vial_code(code, came.from_site or site.name) for code in vials)
    if len(set(codes)) < len(codes) or not codes:
        raise RecordError("the vials are named twice, or none is", advice="name each once")
    command = _command("vial arrive", label, vials=list(codes), came=_told(came))
    return _thawed(site, doing, label, came, (command, lambda _view: codes))


def receive_chilled(
    site: Site, doing: Doing, label: Label, count: int, came: Thawed
) -> Outcome:
    """Record thawed vials from a supplier; each gets a code, a gap in the history holds it."""

    def codes(view: View) -> tuple[VialCode, ...]:
        return new_codes(site, view, count)

    command = _command("vial receive", label, count=count, came=_told(came))
    return _thawed(site, doing, label, came, (command, codes))


def _thawed(
    site: Site,
    doing: Doing,
    label: Label,
    came: Thawed,
    asked: tuple[dict[str, Plain], Callable[[View], tuple[VialCode, ...]]],
) -> Outcome:
    command, codes_in = asked
    fridge = into(site, "fridge", came.unit)
    if came.thawed_lo is not None and came.thawed_lo > doing.occurred.hi:
        raise RecordError(
            f"thawed {written(came.thawed_lo, site.zone)}, after they arrived",
            advice="ask whoever sent them",
        )

    def decide(view: View) -> Decision:
        codes = codes_in(view)
        _none_here(view, codes)
        rules = in_force(site, view, doing.at)
        held = list(carried_findings(came.by_mode, came.carried_min, rules.protocol))
        if came.held:
            held.append(Finding(Level.STOP, "held", f"held by the sender: {came.held}"))
        event = VialsArrived(
            vials=codes,
            lot=label.lot,
            expiry=label.expiry,
            doses=_doses(came, rules.protocol),
            from_site=came.from_site,
            thawed_lo_ms=None if came.thawed_lo is None else to_ms(came.thawed_lo),
            thawed_hi_ms=None if came.thawed_hi is None else to_ms(came.thawed_hi),
            room_used_min=came.room_used_min,
            transport_used_min=came.transport_used_min,
            trips_used=came.trips_used,
            held="; ".join(finding.says for finding in held),
            unit=fridge,
        )
        expired = label_findings(label.lot, label.ends(site.zone), doing.at)
        return Decision(event, (*held, *_gaps(event), *expired), rules.ref)

    return act(site, doing, command, decide, kind=Kind.FACT)


def _none_here(view: View, codes: tuple[str, ...]) -> None:
    """Raise when a code is in use here; a vial that was sent away may come back."""
    for code in codes:
        vial = view.one(VIAL, code)
        if vial is not None and vial.sent_to is None:
            raise RecordError(
                f"{code} is the code of a vial that is here already",
                advice=f"thawline vial show {code}; set the one that arrived apart and call",
            )


def _doses(came: Thawed, protocol: Protocol) -> int:
    return protocol.product.doses_per_vial.value if came.doses is None else came.doses


def _told(came: Thawed) -> dict[str, Plain]:
    """Return what was told of the vials as plain values, instants in milliseconds."""
    return {
        name: to_ms(instant(value)) if isinstance(value, datetime) else value
        for name, value in asdict(came).items()
    }


def receive_syringes(site: Site, doing: Doing, came: SyringesArrived) -> Outcome:
    """Record ready-drawn syringes; without puncture time, who drew and use-by they are held."""
    _check_lot(came.lot)
    if not came.syringes or len(set(came.syringes)) < len(came.syringes):
        raise RecordError("the syringes are named twice, or none is", advice="name each once")

    def decide(view: View) -> Decision:
        for code in came.syringes:
            if view.one(SYRINGE, code) is not None:
                raise RecordError(f"there is a syringe {code} here already")
        rules = in_force(site, view, doing.at)
        event = replace(came, use_by_ms=_strictest(site, came, rules.protocol))
        found = list(_shortened(came, event))
        if None in (came.punctured_ms, came.drawn_by, came.use_by_ms):
            found.insert(0, _syringes_held())
        return Decision(event, tuple(found), rules.ref)

    command: dict[str, Plain] = {"command": "vial syringes", **to_builtins(came)}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _strictest(site: Site, came: SyringesArrived, protocol: Protocol) -> int | None:
    """Return the earliest of the use-by told, the label's end and what an open vial allows."""
    if came.use_by_ms is None:
        return None
    ends = [from_ms(came.use_by_ms)]
    if came.expiry is not None:
        ends.append(midnight_after(read_expiry(came.expiry), site.zone))
    if came.punctured_ms is not None:
        punctured = from_ms(came.punctured_ms)
        opening = (c for c in protocol.clocks.values() if c.starts_on is Starts.OPEN)
        ends += [clock.allows.end(punctured, site.zone) for clock in opening]
    return to_ms(min(ends))


def _shortened(told: SyringesArrived, kept: SyringesArrived) -> Iterator[Finding]:
    if told.use_by_ms != kept.use_by_ms:
        says = "the use-by told is later than the rules allow; the earlier one counts"
        yield Finding(Level.ACT, "use-by-shortened", says)


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


def _written(temperature_c: Decimal | None) -> str | None:
    return None if temperature_c is None else str(temperature_c)


def _millicelsius(temperature_c: Decimal | None) -> int | None:
    return None if temperature_c is None else millicelsius(temperature_c)


def _command(name: str, label: Label, **more: Plain) -> dict[str, Plain]:
    return {"command": name, "lot": label.lot, "expiry": label.expiry, **more}
