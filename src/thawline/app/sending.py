"""Sending thawed vials to another site with their history, and what to tell that site."""

from dataclasses import dataclass, replace
from datetime import timedelta

from thawline.app.acts import Doing, Outcome, act, settle
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.app.standings import Stood, one_lot, stood
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import VialSent
from thawline.ledger.trip_events import TripEnded
from thawline.rules.protocol import Protocol, Starts
from thawline.vial.facts import VialState, as_of, on_table, story_of
from thawline.vial.folds import VIAL
from thawline.vial.leaving import left_frozen
from thawline.vial.opening import opened_at
from thawline.vial.reckon import Reckoning, State, against_use
from thawline.vial.story import What
from thawline.vial.thawing import progress


@dataclass(frozen=True, slots=True)
class Note:
    """What goes with a vial: its history for the site it goes to; None: not known there."""

    vial: str
    lot: str
    expiry: str | None
    doses: int
    thawed_at: Instant | None
    room_used_min: int | None
    transport_used_min: int | None
    trips_used: int | None
    held: str = ""  # why it may not be used; the next site holds it for that


def send(
    site: Site, doing: Doing, vials: tuple[str, ...], to_site: str, by_mode: str
) -> tuple[Outcome, list[Note]]:
    """Send vials on; refused for held, punctured, past or already carried ones."""
    codes = tuple(dict.fromkeys(vials))
    if not codes:
        raise RecordError("no vial is named", advice="name one or more vial codes")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        stands = [stood(view, rules, code, doing.at) for code in codes]
        found = [
            finding
            for each in stands
            for finding in _against(each, by_mode, rules.protocol, doing.at)
        ]
        event = VialSent(
            vials=codes,
            lot=one_lot(stands),
            doses=tuple(each.vial.left for each in stands),
            to_site=to_site,
            by_mode=by_mode,
        )
        return settle(doing, event, found, rules.protocol.overrides, rules.ref)

    command: dict[str, Plain] = {
        "command": "vial send",
        "vials": list(codes),
        "to": to_site,
        "mode": by_mode,
    }
    outcome = act(site, doing, command, decide)
    notes = _notes(site, codes, doing.at)
    if outcome.receipt is None:
        notes = [replace(each, trips_used=_plus(each.trips_used, 1)) for each in notes]
    return outcome, notes


def end_trip(site: Site, doing: Doing, vials: tuple[str, ...], to_site: str) -> Outcome:
    """
    Record at the site that sent vials that they reached the other one.

    Raises:
        RecordError: One of them is not on its way there, or was sent after that.
    """
    codes = tuple(dict.fromkeys(vials))
    if not codes:
        raise RecordError("no vial is named", advice="name one or more vial codes")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        for code in codes:
            known = stood(view, rules, code, doing.at).vial
            _check_on_its_way(code, as_of(known, doing.at) or known, to_site)
        return Decision(TripEnded(vials=codes, to_site=to_site), (), rules.ref)

    command: dict[str, Plain] = {
        "command": "vial reached",
        "vials": list(codes),
        "to": to_site,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def on_their_way(site: Site, vials: tuple[str, ...], to_site: str) -> tuple[str, ...]:
    """Return which of the vials were sent there and have not reached it by the record."""
    with site.ledger.view() as view:
        states = [(code, view.one(VIAL, code)) for code in vials]
    return tuple(code for code, vial in states if vial and _is_on_its_way(vial, to_site))


def _is_on_its_way(vial: VialState, to_site: str) -> bool:
    return vial.sent_to == to_site and _last_of_trips(vial) is What.TRANSPORT_START


def _last_of_trips(vial: VialState) -> What | None:
    trips = (What.TRANSPORT_START, What.TRANSPORT_END, What.ARRIVE)
    return next((row.what for row in reversed(vial.rows) if row.what in trips), None)


def _check_on_its_way(code: str, vial: VialState, to_site: str) -> None:
    if _is_on_its_way(vial, to_site):
        return
    where = "here" if vial.sent_to is None else f"sent to {vial.sent_to}"
    done = ", and reached it" if _last_of_trips(vial) is What.TRANSPORT_END else ""
    raise RecordError(
        f"{code} was not on its way to {to_site} then: it was {where}{done}",
        advice=f"thawline vial show {code}",
    )


def _notes(site: Site, codes: tuple[str, ...], at: Instant) -> list[Note]:
    """Return what to tell the next site about each vial, as it was when it left."""
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
        stands = [stood(view, rules, code, at) for code in codes]
    return [_note(each, rules.protocol, at) for each in stands]


def _against(each: Stood, mode: str, protocol: Protocol, at: Instant) -> list[Finding]:
    code, vial, reckoning = each.code, each.vial, each.reckoning
    rules = protocol.transport
    found = list(against_use(code, reckoning))
    if not _is_thawed(vial, protocol, at):
        says = f"{code} is not thawed; only thawed vials are sent"
        found.append(Finding(Level.STOP, "not-thawed", says, protocol.thaw.refrigerator.item))
    if vial.sent_to is not None:
        found.append(Finding(Level.STOP, "not-here", f"{code} was sent to {vial.sent_to}"))
    if on_table(vial):
        says = f"{code} stands on the table; only vials from the refrigerator are sent"
        found.append(Finding(Level.STOP, "on-the-table", says))
    if reckoning.state is State.OPEN and not (rules.punctured and rules.punctured.may):
        item = rules.punctured.item if rules.punctured else None
        says = f"{code} is open; a punctured vial is never carried"
        found.append(Finding(Level.STOP, "punctured-not-carried", says, item))
    if rules.trips and (_trips(vial) or 0) >= rules.trips.most:
        often = f"at most {rules.trips.most} in all"
        says = f"{code} was carried before ({_trips(vial)}); {often}"
        found.append(Finding(Level.STOP, "one-trip-only", says, rules.trips.item))
    listed = rules.by.get(mode)
    if listed is None or listed.allows is None:
        ways = ", ".join(_allowed(protocol)) or "no way"
        says = f"thawed vials are not carried by {mode}; the protocol allows: {ways}"
        item = listed.item if listed else None
        found.append(Finding(Level.STOP, "mode-not-allowed", says, item))
    return found


def _allowed(protocol: Protocol) -> list[str]:
    return [name for name, mode in protocol.transport.by.items() if mode.allows]


def _is_thawed(vial: VialState, protocol: Protocol, at: Instant) -> bool:
    came = progress(story_of(vial, None).facts, protocol.thaw, at)
    return came.thawed_at is not None and came.thawed_at <= at


def _note(each: Stood, protocol: Protocol, at: Instant) -> Note:
    """Return the history of a vial as the next site needs it; minutes are rounded up."""
    vial = each.vial
    facts = story_of(vial, None).facts
    against = [why.says for why in against_use(each.code, each.reckoning)]
    if opened_at(facts) is not None:
        against.append("it is open; the note that goes with it does not say since when")
    return Note(
        vial=each.code,
        lot=vial.lot,
        expiry=vial.expiry,
        doses=vial.left,
        thawed_at=left_frozen(facts) if _is_thawed(vial, protocol, at) else None,
        room_used_min=_room_minutes(each.reckoning, protocol),
        transport_used_min=_brought(vial, "transport_used_min"),
        trips_used=_trips(vial),  # with this one
        held="; ".join(against),
    )


def _room_minutes(reckoning: Reckoning, protocol: Protocol) -> int | None:
    of_table = {n for n, c in protocol.clocks.items() if c.starts_on is Starts.TO_TABLE}
    used = [clock.used for clock in reckoning.clocks if clock.clock in of_table]
    if None in used:
        return None
    return max((-(-each // timedelta(minutes=1)) for each in used if each), default=0)


def _brought(vial: VialState, name: str) -> int | None:
    """Return what its arrivals brought of a figure; None when one of them did not say."""
    figures = [getattr(row, name) for row in vial.rows if row.what is What.ARRIVE]
    return None if None in figures else sum(figures)


def _trips(vial: VialState) -> int | None:
    here = sum(row.what is What.TRANSPORT_START for row in vial.rows)
    return _plus(_brought(vial, "trips_used"), here)


def _plus(figure: int | None, more: int) -> int | None:
    return None if figure is None else figure + more
