"""
Bookings: load a file of them, list them.

Loading the same file twice changes nothing: an act's id comes from the person, the place and
the site, so even a load that was cut off in the middle is finished by repeating it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from hashlib import sha256
from uuid import NAMESPACE_URL, UUID, uuid5

from thawline.app.acts import Doing, act
from thawline.app.booking_rows import Desk, Moment, Placed, against, minted_number
from thawline.app.elsewhere import elsewhere_on
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.on_record import codes_on_record
from thawline.app.ports import Name, Site
from thawline.base.errors import RecordError, ReusedIdError, UnsaidError
from thawline.base.instants import Instant, from_ms, local_date, to_ms
from thawline.exchange.bookings import BadRow, ReadBookings, Remark
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import PersonBooked
from thawline.person.away import AWAY, place_elsewhere
from thawline.person.bookings import booked_already, had_dose_on, refusal_elsewhere
from thawline.person.fold import PERSON, Booking, PersonState
from thawline.rules.protocol import ProtocolRef

_OURS = uuid5(NAMESPACE_URL, "thawline:booking")
_ROW_DIGITS = 32


@dataclass(frozen=True, slots=True)
class Loaded:
    """What came of a file: every row is booked, there already, or bad."""

    booked: int
    already: int
    new_people: int
    bad: tuple[BadRow, ...]
    remarks: tuple[Remark, ...]
    recorded: bool
    protocol: ProtocolRef | None


@dataclass(frozen=True, slots=True)
class Listed:
    """One booking as the front desk wants it; the name is None where none is kept."""

    slot: Instant
    person: str
    name: str | None
    dose_number: int
    language: str
    needs: str
    group: str
    had_dose: bool


def load_bookings(site: Site, doing: Doing, read: ReadBookings) -> Loaded:
    """
    Book every row that may be booked; on a dry run only say what would be booked.

    Names are kept first, then each booking is recorded as an act of its own.

    Raises:
        RecordError: Nobody is named for it.
    """
    if not doing.by.strip():
        raise UnsaidError("nobody is named for this act", advice="add --by NAME")
    found = _looked_up(site, doing, read, {})
    late: list[BadRow] = []
    if not doing.dry_run:
        found = _named(site, doing, read, found)
        for each in found.placed:
            late += _recorded(site, doing, each, found.ref)
    remarks = [*read.remarks, *(Remark(line, says) for line, says in found.remarks)]
    return Loaded(
        booked=len(found.placed) - len(late),
        already=found.already,
        new_people=len(found.new_names),
        bad=tuple(sorted([*read.bad, *found.bad, *late], key=lambda row: row.line)),
        remarks=tuple(sorted(remarks, key=lambda remark: remark.line)),
        recorded=not doing.dry_run,
        protocol=found.ref,
    )


@dataclass(frozen=True, slots=True)
class _LookedUp:
    """What a file's rows are, by what was known when they were looked up."""

    placed: list[Placed]
    bad: list[BadRow]
    already: int
    remarks: list[tuple[int, str]]
    ref: ProtocolRef

    @property
    def new_names(self) -> dict[str, Name]:
        """The names to keep, by the codes they are to be kept under."""
        return {each.person: each.name for each in self.placed if each.name is not None}


def _looked_up(
    site: Site, doing: Doing, read: ReadBookings, taken: Mapping[str, Name]
) -> _LookedUp:
    """Return what the rows are; `taken` are people of whom the ledger does not know yet."""
    with site.ledger.view() as view:
        rules = in_force(site, view, doing.at)
        states, names = _everybody(site, view)
        away = elsewhere_on(view, local_date(doing.at, site.zone))
        moment = replace(_moment(site, view, doing.at), elsewhere=away)
        desk = Desk.of(moment, states, {**taken, **names})
        on_record = map(minted_number, codes_on_record(view))
        desk.last_minted = max([desk.last_minted, *on_record])
        return _LookedUp(*_taken(desk, read), desk.remarks, rules.ref)


def _named(site: Site, doing: Doing, read: ReadBookings, found: _LookedUp) -> _LookedUp:
    """
    Keep the names of new people, and return the rows as they are under the codes they got.

    Where another load took a code since the rows were looked up, nothing was kept: the rows are
    looked up again with whoever has that code, so no code ever stands for two people.
    """
    taken: dict[str, Name] = {}
    while found.new_names and (others := site.people.add_all(found.new_names)):
        assert not others.keys() <= taken.keys()  # noqa: S101  else it would never end
        taken.update(others)
        found = _looked_up(site, doing, read, taken)
    return found


def list_bookings(site: Site, on: date | None = None) -> list[Listed]:
    """Return the bookings of a day, or all of them, by time and then by person."""
    with site.ledger.view() as view:
        found = [
            _listed(site, person, state, booking)
            for person, state in view.all(PERSON)
            for booking in state.bookings
            if on is None or local_date(from_ms(booking.slot_ms), site.zone) == on
        ]
    return sorted(found, key=lambda each: (each.slot, each.person))


def _listed(site: Site, person: str, state: PersonState, booking: Booking) -> Listed:
    name = site.people.get(person)
    slot = from_ms(booking.slot_ms)
    return Listed(
        slot=slot,
        person=person,
        name=None if name is None else name.called,
        dose_number=booking.dose_number,
        language=booking.language,
        needs=booking.needs,
        group=booking.group,
        had_dose=had_dose_on(state, local_date(slot, site.zone), site.zone),
    )


def _everybody(site: Site, view: View) -> tuple[Mapping[str, PersonState], Mapping[str, Name]]:
    states = dict(view.all(PERSON))
    names = {person: site.people.get(person) for person in states}
    return states, {person: name for person, name in names.items() if name is not None}


def _moment(site: Site, view: View, at: Instant) -> Moment:
    """Return the moment with the rules as this view knows them."""
    questions = in_force(site, view, at).protocol.screening
    return Moment(at, site.zone.key, cache(rules_by_time(site, view)), questions)


def _taken(desk: Desk, read: ReadBookings) -> tuple[list[Placed], list[BadRow], int]:
    placed: list[Placed] = []
    bad: list[BadRow] = []
    already = 0
    for row in read.rows:
        try:
            taken = desk.take(row)
        except RecordError as error:
            bad.append(BadRow(row.line, error.says))
            continue
        if isinstance(taken, Placed):
            placed.append(taken)
        else:
            already += 1
    return placed, bad, already


def _recorded(site: Site, doing: Doing, placed: Placed, ref: ProtocolRef) -> list[BadRow]:
    """Record one booking; returns the row as bad if somebody else was faster."""
    event = _event(site, placed)
    with site.ledger.view() as view:
        entry_id = _free_id(site, view, event)

    def decide(view: View) -> Decision:
        state = view.one(PERSON, placed.person) or PersonState()
        today = local_date(doing.at, site.zone)
        away = place_elsewhere(view.one(AWAY, placed.person), today)
        reason = against(state, placed.wanted, _moment(site, view, doing.at))
        reason = reason or refusal_elsewhere(away, placed.wanted)
        if reason or booked_already(state, placed.wanted):
            raise RecordError(f"{reason or 'booked'} just now by somebody else: load it again")
        return Decision(event, (), ref)

    command: dict[str, Plain] = {
        "command": "booking load",
        "person": event.person,
        "slot_ms": event.slot_ms,
        "dose_number": event.dose_number,
    }
    try:
        act(site, replace(doing, id=entry_id), command, decide, kind=Kind.COMMAND)
    except (RecordError, ReusedIdError) as error:
        return [BadRow(placed.row.line, error.says)]
    return []


def _event(site: Site, placed: Placed) -> PersonBooked:
    slot_ms, number = to_ms(placed.wanted.slot), placed.wanted.dose_number
    fingerprint = sha256(f"{site.name}|{placed.person}|{slot_ms}|{number}".encode())
    return PersonBooked(
        person=placed.person,
        slot_ms=slot_ms,
        dose_number=number,
        row=fingerprint.hexdigest()[:_ROW_DIGITS],
        language=placed.row.language,
        needs=placed.row.needs,
        group=placed.row.group,
    )


def _free_id(site: Site, view: View, event: PersonBooked) -> UUID:
    """Return the act's id from its row; the next one where an earlier booking was undone."""
    times = 0
    while view.entry(entry_id := uuid5(_OURS, f"{site.name}|{event.row}|{times}")) is not None:
        times += 1
    return entry_id
