"""Acts on vials: to the fridge or table, open, draw, waste, discard, flag."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from thawline.account.causes import cause_named, kind_findings
from thawline.app.acts import Doing, Outcome, act, settle
from thawline.app.coding import MOST_AT_ONCE, new_codes
from thawline.app.in_force import in_force
from thawline.app.not_here import not_here
from thawline.app.ports import Site
from thawline.app.standings import one_lot, stood
from thawline.app.units import into, out_of
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.findings import Finding, Level
from thawline.base.ids import VialCode
from thawline.base.instants import midnight_after
from thawline.base.quantities import millicelsius
from thawline.base.stations import same_station
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import (
    DoseDrawn,
    DoseWasted,
    VialDiscarded,
    VialFlagged,
    VialMoved,
    VialPunctured,
)
from thawline.prepare.opening import draw_refusals, open_findings
from thawline.prepare.predraw import predrawn_findings
from thawline.receive.inspection import label_findings
from thawline.rules.protocol import Protocol
from thawline.thaw.moves import move_findings
from thawline.vial.codes import syringe_codes
from thawline.vial.expiry import read_expiry
from thawline.vial.facts import CartonState, VialState, fact_of, on_table, story_of, was_opened
from thawline.vial.folds import CARTON, LOT, VIAL, carton_key
from thawline.vial.leaving import holds, table_finding
from thawline.vial.opening import opened_at
from thawline.vial.reckon import State
from thawline.vial.story import What
from thawline.vial.syringes import SYRINGE


def move(
    site: Site,
    doing: Doing,
    vials: Sequence[str],
    to: str,
    room_c: Decimal | None = None,
    unit: str = "",
) -> Outcome:
    """Move vials that have codes into a unit, the only one if none is named; all or none."""
    codes = _several(vials)
    goes_into = _into(site, doing, to, unit)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        stands = [stood(view, rules, code, doing.at) for code in codes]
        found = [
            finding
            for each in stands
            for finding in move_findings(
                each.code, each.reckoning, to, rules.protocol, on_table=on_table(each.vial)
            )
        ]
        found += [gone for each in stands for gone in _gone(each.code, each.vial.sent_to)]
        event = VialMoved(
            vials=codes,
            to=to,
            lot=one_lot(stands),
            expiry=stands[0].vial.expiry or "",
            room_mc=None if room_c is None else millicelsius(room_c),
            unit=goes_into,
        )
        warm = _table(to, room_c, rules.protocol)
        return settle(doing, event, found, rules.protocol.overrides, rules.ref, warm)

    command: dict[str, Plain] = {
        "command": f"vial to-{to}",
        "vials": list(codes),
        "room_c": None if room_c is None else str(room_c),
        "into": unit,
    }
    return act(site, doing, command, decide)


def take_out(  # noqa: PLR0913, PLR0917  one flat order; each is a different thing
    site: Site,
    doing: Doing,
    lot: str,
    unit: str,
    count: int,
    to: str,
    room_c: Decimal | None = None,
    goes_into: str = "",
) -> Outcome:
    """
    Take vials out of a sealed frozen carton: each gets its code and its clocks start.

    `unit` is the freezer they come from, and `goes_into` the unit they go to; empty: the only
    one it can be.
    """
    source, target = out_of(site, unit), _into(site, doing, to, goes_into)
    if not 1 <= count <= MOST_AT_ONCE:
        raise RecordError(f"vials must be 1 to {MOST_AT_ONCE}: {count}")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        carton = _carton(view, source, lot)
        expiry = carton.expiry or ""  # `_carton` gives none without
        because = _held_carton(carton)
        found = [*_lot_held(view, lot), *_carton_findings(carton, count, to, because)]
        label_ends = midnight_after(read_expiry(expiry), site.zone)
        found += label_findings(lot, label_ends, doing.at)
        event = VialMoved(
            vials=new_codes(site, view, count),
            to=to,
            lot=lot,
            expiry=expiry,
            from_unit=source,
            doses=carton.doses_per_vial,
            room_mc=None if room_c is None else millicelsius(room_c),
            unit=target,
            held=because,
            soft_since_ms=carton.soft_since_ms,
        )
        beside = [*_table(to, room_c, rules.protocol), *_still_held(event)]
        return settle(doing, event, found, rules.protocol.overrides, rules.ref, beside)

    command: dict[str, Plain] = {
        "command": f"vial to-{to}",
        "lot": lot,
        "unit": unit,
        "count": count,
        "room_c": None if room_c is None else str(room_c),
        "into": goes_into,
    }
    return act(site, doing, command, decide)


def open_vial(site: Site, doing: Doing, vial: str) -> Outcome:
    """Open a vial: its clock starts."""

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        now = stood(view, rules, vial, doing.at)
        found = list(open_findings(vial, now.reckoning, doing.at, rules.protocol, site.zone))
        found += _gone(vial, now.vial.sent_to)
        if now.reckoning.state is not State.OPEN and opened_at(story_of(now.vial, None).facts):
            found.append(Finding(Level.STOP, "open-already", f"{vial} is on record as opened"))
        event = VialPunctured(vial=vial)
        return settle(doing, event, found, rules.protocol.overrides, rules.ref)

    return act(site, doing, {"command": "vial open", "vial": vial}, decide)


def draw(site: Site, doing: Doing, vial: str, doses: int = 1) -> Outcome:
    """Draw doses from an open vial, one a syringe; each syringe gets its code."""
    if not 1 <= doses <= MOST_AT_ONCE:
        raise RecordError(f"doses must be 1 or more: {doses}")
    # Asked before the act, of what a server remembers: no other act waits for the count. Two
    # who draw at one table in one moment may each miss the other's; the next act tells both.
    with site.ledger.view() as before:
        lying = _lying_at(before, doing.station)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        now = stood(view, rules, vial, doing.at)
        found = list(
            draw_refusals(
                vial, now.reckoning, now.vial.left, now.vial.drawn, doses, rules.protocol
            )
        )
        found += _gone(vial, now.vial.sent_to)
        stops, beside = _parted([*found, *_ahead(lying + doses, rules.protocol)])
        event = DoseDrawn(
            vial=vial,
            lot=now.vial.lot,
            syringes=tuple(syringe_codes(VialCode(vial), now.vial.syringes, doses)),
            extra=max(0, doses - max(now.vial.left, 0)),
        )
        return settle(doing, event, stops, rules.protocol.overrides, rules.ref, beside)

    command: dict[str, Plain] = {"command": "vial draw", "vial": vial, "doses": doses}
    return act(site, doing, command, decide)


def _lying_at(view: View, station: str) -> int:
    """Return how many drawn syringes lie at a station."""
    return sum(
        syringe.became == "drawn" and same_station(syringe.station, station)
        for _, syringe in view.all(SYRINGE)
    )


def _ahead(lying: int, protocol: Protocol) -> Sequence[Finding]:
    """Return a check when too many syringes would lie drawn at one table."""
    in_a_vial = protocol.product.doses_per_vial.value
    return predrawn_findings(lying, in_a_vial, protocol.predrawn)


def waste(site: Site, doing: Doing, place: str, doses: int, cause: str) -> Outcome:
    """Record doses of a vial or a syringe that nobody will get, with the cause."""
    why = cause_named(cause)
    kind, _, code = place.partition(":")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        lot, left, opened = _in_place(view, kind, code)
        if not 1 <= doses <= left:
            raise RecordError(
                f"{kind} {code} holds {left} doses by the book, not {doses}",
                advice=f"thawline vial show {code.partition('-')[0]}",
            )
        event = DoseWasted(place=place, lot=lot, doses=doses, cause=cause, why=doing.why)
        return Decision(event, kind_findings(why, opened=opened), rules.ref)

    command: dict[str, Plain] = {
        "command": "vial waste",
        "place": place,
        "doses": doses,
        "cause": cause,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def discard(site: Site, doing: Doing, vial: str, cause: str) -> Outcome:
    """End a vial; what it still holds by the book is wasted for the cause."""
    because = cause_named(cause)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        state = stood(view, rules, vial, doing.at).vial
        if any(row.what == "discard" for row in state.rows):
            raise RecordError(
                f"{vial} is discarded already", advice=f"thawline vial show {vial}"
            )
        left = _left_here(state)
        event = VialDiscarded(vial=vial, lot=state.lot, doses=left, cause=cause, why=doing.why)
        kind = kind_findings(because, opened=was_opened(state)) if left else ()
        return Decision(event, (*_gone(vial, state.sent_to), *kind), rules.ref)

    command: dict[str, Plain] = {"command": "vial discard", "vial": vial, "cause": cause}
    return act(site, doing, command, decide, kind=Kind.FACT)


def flag(site: Site, doing: Doing, vials: Sequence[str]) -> Outcome:
    """Record that new flags are stuck on and scanned; a longer limit counts from now."""
    codes = _several(vials)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        for code in codes:
            stood(view, rules, code, doing.at)
        return Decision(VialFlagged(vials=codes), (), rules.ref)

    command: dict[str, Plain] = {"command": "vial flag", "vials": list(codes)}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _into(site: Site, doing: Doing, to: str, named: str) -> str:
    """Return the unit of a move; a table that is not named is the one they are scanned at."""
    here = doing.station if to == "table" and not named else ""
    return here or into(site, to, named)


def _several(vials: Sequence[str]) -> tuple[str, ...]:
    codes = tuple(dict.fromkeys(vials))
    if not codes:
        raise RecordError("no vial is named", advice="name one or more vial codes")
    return codes


def _carton(view: View, unit: str, lot: str) -> CartonState:
    carton = view.one(CARTON, carton_key(unit, lot))
    if carton is None or carton.expiry is None:
        known = [state.lot for _, state in view.all(CARTON) if state.unit == unit]
        raise not_here(f"carton in {unit} of lot", lot, known)
    return carton


def _lot_held(view: View, lot: str) -> list[Finding]:
    state = view.one(LOT, lot)
    facts = [fact_of(row, of_lot=True) for row in state.rows] if state else []
    return [replace(held, says=f"lot {lot}: {held.says}") for held in holds(facts, {})]


def _held_carton(carton: CartonState) -> str:
    """Return why a sealed carton is held, as its newest hold says it; empty: it is not."""
    facts = [fact_of(row) for row in carton.rows]
    standing = holds(facts, {})
    said = [fact.why for fact in facts if fact.what is What.HOLD]
    return (said[-1] or "held") if standing else ""


def _carton_findings(carton: CartonState, count: int, to: str, because: str) -> list[Finding]:
    """Return what speaks against taking vials out; held ones go to the refrigerator only."""
    found = []
    if because and to != "fridge":
        says = f"lot {carton.lot} in {carton.unit} is held, {because}: to the refrigerator only"
        found.append(Finding(Level.STOP, "held", says))
    if count > carton.vials:
        says = (
            f"{carton.unit} holds {carton.vials} vials of {carton.lot} by the book, not {count}"
        )
        found.append(Finding(Level.STOP, "not-in-stock", says))
    return found


def _still_held(event: VialMoved) -> list[Finding]:
    if not event.held:
        return []
    says = f"still held, {event.held}: do not use, do not discard, keep cold and apart, call"
    return [Finding(Level.STOP, "held", says)]


def _table(to: str, room_c: Decimal | None, protocol: Protocol) -> list[Finding]:
    """Return what the temperature of the table means for vials that are put there."""
    found = table_finding(room_c, protocol.bands) if to == "table" else None
    return [found] if found else []


def _in_place(view: View, kind: str, code: str) -> tuple[str, int, bool]:
    """Return the lot, the doses by the book in a vial or syringe, and whether it was opened."""
    if kind == "vial" and (vial := view.one(VIAL, code)):
        return vial.lot, _left_here(vial), was_opened(vial)
    if kind == "syringe" and (syringe := view.one(SYRINGE, code)):
        return syringe.lot, int(syringe.became == "drawn"), True
    raise NotFoundError(f"no {kind} {code} here", advice="thawline vial list")


def _left_here(vial: VialState) -> int:
    """Return the doses it holds at this site by the book."""
    return max(vial.left, 0) if vial.sent_to is None else 0


def _gone(vial: str, sent_to: str | None) -> list[Finding]:
    if sent_to is None:
        return []
    return [Finding(Level.STOP, "not-here", f"{vial} was sent to {sent_to}")]


def _parted(found: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Return what refuses the act, and what is only shown beside it."""
    stops = [each for each in found if each.level is Level.STOP]
    return stops, [each for each in found if each.level is not Level.STOP]
