"""Sending thawed vials to another site with their history, and what to tell that site."""

from dataclasses import dataclass
from datetime import timedelta

from thawline.app.acts import Doing, Outcome, act, settle
from thawline.app.ports import Site
from thawline.app.standings import Stood, in_force, stood
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.ledger.entries import Decision, Plain, View
from thawline.ledger.events import VialSent
from thawline.rules.protocol import Protocol, Starts
from thawline.vial.facts import VialState, on_table, story_of
from thawline.vial.leaving import left_frozen
from thawline.vial.reckon import Reckoning, State


@dataclass(frozen=True, slots=True)
class Note:
    """What goes with a vial: the history that the site it goes to types in."""

    vial: str
    lot: str
    expiry: str | None
    doses: int
    thawed_at: Instant | None
    room_used_min: int
    transport_used_min: int
    trips_used: int


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
            finding for each in stands for finding in _against(each, by_mode, rules.protocol)
        ]
        lots = {each.vial.lot for each in stands}
        if len(lots) > 1:
            raise RecordError(
                f"vials of more than one lot: {', '.join(sorted(lots))}",
                advice="send one lot at a time",
            )
        event = VialSent(
            vials=codes,
            lot=lots.pop(),
            doses=tuple(each.vial.left for each in stands),
            to_site=to_site,
            by_mode=by_mode,
        )
        return settle(doing, event, found, rules.protocol.overrides, rules.ref)

    command: dict[str, Plain] = {"command": "vial send", "vials": list(codes), "to": to_site}
    outcome = act(site, doing, command, decide)
    return outcome, _notes(site, codes, doing.at)


def _notes(site: Site, codes: tuple[str, ...], at: Instant) -> list[Note]:
    """Return what to tell the next site about each vial, as it was when it left."""
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
        stands = [stood(view, rules, code, at) for code in codes]
    return [_note(each.code, each.vial, each.reckoning, rules.protocol) for each in stands]


def _against(each: Stood, mode: str, protocol: Protocol) -> list[Finding]:
    code, vial, reckoning = each.code, each.vial, each.reckoning
    rules = protocol.transport
    found = [one for one in reckoning.findings if one.level is Level.STOP]
    if vial.sent_to is not None:
        found.append(Finding(Level.STOP, "not-here", f"{code} was sent to {vial.sent_to}"))
    if on_table(vial):
        says = f"{code} stands on the table; only vials from the refrigerator are sent"
        found.append(Finding(Level.STOP, "on-the-table", says))
    if reckoning.state is State.OPEN and not (rules.punctured and rules.punctured.may):
        item = rules.punctured.item if rules.punctured else None
        says = f"{code} is open; a punctured vial is never carried"
        found.append(Finding(Level.STOP, "punctured-not-carried", says, item))
    if rules.trips and _trips(vial) >= rules.trips.most:
        says = f"{code} was carried before; at most {rules.trips.most} trip"
        found.append(Finding(Level.STOP, "one-trip-only", says, rules.trips.item))
    listed = rules.by.get(mode)
    if rules.by and (listed is None or listed.allows is None):
        says = f"{mode} is not a way to carry thawed vials: {', '.join(_allowed(protocol))} are"
        item = listed.item if listed else None
        found.append(Finding(Level.STOP, "mode-not-allowed", says, item))
    return found


def _allowed(protocol: Protocol) -> list[str]:
    return [name for name, mode in protocol.transport.by.items() if mode.allows]


def _note(code: str, vial: VialState, reckoning: Reckoning, protocol: Protocol) -> Note:
    """Return the history of a vial as the next site needs it; minutes are rounded up."""
    of_table = {n for n, c in protocol.clocks.items() if c.starts_on is Starts.TO_TABLE}
    room = [clock.used for clock in reckoning.clocks if clock.clock in of_table]
    minutes = [-(-used // timedelta(minutes=1)) for used in room if used is not None]
    return Note(
        vial=code,
        lot=vial.lot,
        expiry=vial.expiry,
        doses=vial.left,
        thawed_at=left_frozen(story_of(vial, None).facts),
        room_used_min=max(minutes, default=0),
        transport_used_min=sum(row.transport_used_min or 0 for row in vial.rows),
        trips_used=_trips(vial),  # with this one
    )


def _trips(vial: VialState) -> int:
    brought = sum(row.trips_used or 0 for row in vial.rows)
    return brought + sum(row.what == "transport-start" for row in vial.rows)
