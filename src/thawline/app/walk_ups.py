"""
Somebody comes without a place for today: taken in with a code, a place now and their arrival.

Whoever is on the list already keeps their code. Whoever may be is shown, and is a new person
only when somebody looked at both and says so. No document is asked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from msgspec.structs import replace as with_more

from thawline.app.acts import Doing, Outcome, act, by_its_own_id, part_of
from thawline.app.booking_rows import MINTED, identity_of, minted_number
from thawline.app.doses import told
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.kept import kept_of, refuse_changed
from thawline.app.meeting import (
    Facing,
    compared_findings,
    differed_later,
    everybody_of,
    refuse_birth_date,
    spelled_otherwise,
)
from thawline.app.on_record import codes_on_record, is_on_record
from thawline.app.ports import Name, Site
from thawline.base.errors import (
    NotFoundError,
    RecordError,
    RefusedError,
    ReusedIdError,
    UnsaidError,
)
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import from_ms, local_date, to_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import EarlierDoseTold, PersonBooked
from thawline.ledger.person_events import PersonArrived
from thawline.person.away import AWAY, place_elsewhere
from thawline.person.desk import PHONE, agreement
from thawline.person.fold import PERSON, DoseTold, PersonState
from thawline.person.likeness import Identity
from thawline.rebook.ages import age_findings
from thawline.rebook.due import booking_findings
from thawline.rebook.series import dose_days

GROUP = "walk-up"
_CARD, _PLACE = "card", "place"


@dataclass(frozen=True, slots=True)
class WalkUp:
    """
    What somebody says who has no place.

    `code` where they are on the list; `another` where somebody looked at those who are alike
    and says that this is another person; `first_dose` had elsewhere, typed from the card.
    """

    said: Identity
    code: str | None = None
    another: bool = False
    language: str = ""
    needs: str = ""
    first_dose: date | None = None
    first_lot: str = ""


@dataclass(frozen=True, slots=True)
class TakenIn:
    """
    The walk-up's code and dose, or everybody who may be the same person; nothing then.

    `spelled`: as in `Meeting`.
    """

    person: str | None
    dose_number: int | None
    facing: tuple[Facing, ...]
    outcome: Outcome | None
    spelled: tuple[str, str] | None = None


def take_in(site: Site, doing: Doing, walk_up: WalkUp) -> TakenIn:
    """
    Take a walk-up in: name kept apart, first dose told, a place now, and the arrival.

    Raises:
        UnsaidError: Nobody is named for it, or no name is said.
        RefusedError: Too early for the second dose, or not of an age that gets one here.
        RecordError: The birth date or the card cannot be right, or both doses were given.
        ReusedIdError: The id stands for another act, or for somebody else's.
    """
    if not doing.by.strip():
        raise UnsaidError("nobody is named for this act", advice="add --by NAME")
    if not walk_up.said.name.strip() and walk_up.code is None:
        raise UnsaidError("no name is said", advice="add --name; any name they go by will do")
    refuse_birth_date(site, doing, walk_up.said.born)
    if (before := _as_before(site, doing, walk_up)) is not None:
        return before
    if not doing.dry_run and (begun := _begun(site, doing)) is not None:
        return _finished(site, doing, begun, walk_up)
    with site.ledger.view() as view:
        facing = everybody_of(site, view, walk_up.said, walk_up.code)
        alike = tuple(each for each in facing if _may_be(each, walk_up.said))
        if alike and not walk_up.another and walk_up.code is None:
            return TakenIn(None, None, alike, None)
        state = _state(site, view, walk_up)
        number = _dose_number(state)
        _refuse(site, view, doing, walk_up, number)
        code = walk_up.code or next_code(view)
    if not doing.dry_run:
        code = walk_up.code or _kept(site, code, walk_up)
        with by_its_own_id(doing):
            _record_card(site, doing, code, walk_up)
            _record_place(site, doing, code, walk_up, number)
    return _taken_in(site, doing, walk_up, TakenIn(code, number, facing, None))


def _taken_in(site: Site, doing: Doing, walk_up: WalkUp, found: TakenIn) -> TakenIn:
    """Record the arrival, last of all: its receipt says that the rest is on record."""
    code = found.person or ""
    others = tuple(each.person for each in found.facing if each.person != code)
    outcome = _arrived(site, doing, code, walk_up, others)
    spelled = spelled_otherwise(walk_up.said, _who(site, code, walk_up))
    return replace(found, outcome=outcome, spelled=spelled)


def _begun(site: Site, doing: Doing) -> str | None:
    """Return the code of whom this very act began to take in before it was cut off."""
    parts = [part_of(site, doing, what).id for what in (_CARD, _PLACE)]
    with site.ledger.view() as view:
        events = [entry.event for each in parts if (entry := view.entry(each))]
    return next(
        (e.person for e in events if isinstance(e, EarlierDoseTold | PersonBooked)), None
    )


def _finished(site: Site, doing: Doing, code: str, walk_up: WalkUp) -> TakenIn:
    """Record what is missing of an act that was cut off; it was looked at then."""
    _refuse_somebody_else(site, doing, walk_up, code)
    _record_card(site, doing, code, walk_up)
    with site.ledger.view() as view:
        number = _dose_number(view.one(PERSON, code) or PersonState())
        facing = everybody_of(site, view, walk_up.said, code)
    _record_place(site, doing, code, walk_up, number)
    return _taken_in(site, doing, walk_up, TakenIn(code, number, facing, None))


def _as_before(site: Site, doing: Doing, walk_up: WalkUp) -> TakenIn | None:
    """
    Return the same answer to the same act asked again; nobody is taken in twice.

    Raises:
        ReusedIdError: The id stands for another act, or for somebody else's.
    """
    with site.ledger.view() as view:
        entry = view.entry(doing.id)
        if entry is None:
            return None
        event = entry.event
        if not isinstance(event, PersonArrived):
            raise _reused(doing)
        places = (view.one(PERSON, event.person) or PersonState()).bookings
    _refuse_somebody_else(site, doing, walk_up, event.person, event.differed)
    number = places[-1].dose_number if places else None
    outcome = _arrived(site, doing, event.person, walk_up, event.same_name)
    spelled = spelled_otherwise(walk_up.said, _who(site, event.person, walk_up))
    return TakenIn(event.person, number, (), outcome, spelled)


def _refuse_somebody_else(
    site: Site, doing: Doing, walk_up: WalkUp, code: str, then: Sequence[str] = ()
) -> None:
    """Raise where who comes now is not who was taken in then: the record has no names."""
    _, differed = agreement(walk_up.said, _who(site, code, walk_up))
    if walk_up.code not in (None, code) or set(differed) - {PHONE, *then}:
        raise _reused(doing)


def _reused(doing: Doing) -> ReusedIdError:
    return ReusedIdError(
        f"id {doing.id} already stands for another act",
        advice=f"thawline journal show {doing.id}, then give the new act an id of its own",
    )


def _who(site: Site, code: str, walk_up: WalkUp) -> Identity:
    """Return what is kept of them; of somebody new, what they said."""
    with site.ledger.view() as view:
        name = kept_of(site, view, code)
    return walk_up.said if name is None else identity_of(name)


def _may_be(each: Facing, said: Identity) -> bool:
    """Say whether it may be the same person: no birth date tells the two apart."""
    return each.likeness is not None or said.born is None or each.identity.born is None


def _state(site: Site, view: View, walk_up: WalkUp) -> PersonState:
    """
    Return the person as they will be once the card is typed in.

    Somebody of whom only a name is kept, or who is on the standby list alone, has had nothing.
    """
    state = PersonState()
    if (code := walk_up.code) is not None:
        if not is_on_record(view, code) and site.people.get(code) is None:
            raise NotFoundError(f"no person {code!r} here", advice="leave the code out")
        state = view.one(PERSON, code) or state
    if walk_up.first_dose is None:
        return state
    card = DoseTold(walk_up.first_dose.isoformat(), "", walk_up.first_lot)
    return with_more(state, told=(*state.told, card))


def _dose_number(state: PersonState) -> int:
    return 1 + min(1, len(state.doses) + len(state.told))


def _refuse(site: Site, view: View, doing: Doing, walk_up: WalkUp, number: int) -> None:
    """Raise for an age or an interval that gets no place today."""
    today, rules = local_date(doing.at, site.zone), in_force(site, view, doing.at)
    state, born = _state(site, view, walk_up), walk_up.said.born
    if walk_up.code and born is None:
        name = site.people.get(walk_up.code)
        born = date.fromisoformat(name.born) if name and name.born else None
    _refuse_card(walk_up, born, today)
    _refuse_place_today(site, state, walk_up, today)
    rule_on = cache(rules_by_time(site, view))
    early = booking_findings(dose_days(state), today, rule_on) if number > 1 else ()
    young = age_findings(born, today, rules.protocol.screening) if born else ()
    if found := (*early, *young):
        raise RefusedError(found)


def _refuse_place_today(site: Site, state: PersonState, walk_up: WalkUp, today: date) -> None:
    """Raise for somebody who is booked for today: they are no walk-up."""
    slots = [from_ms(each.slot_ms) for each in state.bookings]
    if any(local_date(slot, site.zone) == today for slot in slots):
        raise RecordError(
            f"{walk_up.code} has a place today", advice=f"thawline person meet {walk_up.code}"
        )


def _refuse_card(walk_up: WalkUp, born: date | None, today: date) -> None:
    """Raise for a first dose that has not come yet, or that was given before the birth."""
    given = walk_up.first_dose
    if given is not None and given > today:
        raise RecordError(f"a dose on {given.isoformat()}, which has not come yet")
    if given is not None and born is not None and given < born:
        raise RecordError(
            f"a dose on {given.isoformat()}, before the birth on {born.isoformat()}",
            advice="look at the card and at the birth date",
        )


def next_code(view: View) -> str:
    """Return the code after the last one that was minted for anybody on record here."""
    last = max(map(minted_number, codes_on_record(view)), default=0)
    return f"{MINTED}{last + 1:06d}"


def _kept(site: Site, code: str, walk_up: WalkUp) -> str:
    """Keep the name under a code that stands for nobody yet, and return that code."""
    said = walk_up.said
    born = said.born.isoformat() if said.born else None
    name = Name(said.name.strip(), born, said.phone.strip(), language=walk_up.language)
    while site.people.add_all({code: name}):
        code = f"{MINTED}{minted_number(code) + 1:06d}"
    return code


def _record_card(site: Site, doing: Doing, code: str, walk_up: WalkUp) -> None:
    if walk_up.first_dose is not None:
        given_on = walk_up.first_dose.isoformat()
        card = EarlierDoseTold(person=code, given_on=given_on, lot=walk_up.first_lot)
        told(site, part_of(site, doing, _CARD), card)


def _record_place(site: Site, doing: Doing, code: str, walk_up: WalkUp, number: int) -> None:
    event = PersonBooked(
        person=code,
        slot_ms=to_ms(doing.at),
        dose_number=number,
        language=walk_up.language,
        needs=walk_up.needs,
        group=GROUP,
    )
    command: dict[str, Plain] = {"command": "booking walk-up", "person": code}
    act(
        site,
        part_of(site, doing, _PLACE),
        command,
        lambda view: Decision(event, (), in_force(site, view, doing.at).ref),
    )


def _arrived(
    site: Site, doing: Doing, code: str, walk_up: WalkUp, others: tuple[str, ...]
) -> Outcome:
    """Record that they came; what somebody new said is what is kept from now on."""
    with site.ledger.view() as view:
        name = kept_of(site, view, code)
    compared = Identity("") if name is None else identity_of(name)
    kept = _who(site, code, walk_up)
    agreed, differed = agreement(walk_up.said, kept)
    event = PersonArrived(
        person=code, agreed=agreed, differed=differed, same_name=others, walk_up=True
    )
    spelled = spelled_otherwise(walk_up.said, kept)
    found = compared_findings(code, (agreed, differed), others, spelled)

    def decide(view: View) -> Decision:
        refuse_changed(site, view, code, compared)
        later = _later_places(site, view, doing, code)
        later = (*later, *differed_later(site, view, doing, event))
        return Decision(
            event, worst_first((*found, *later)), in_force(site, view, doing.at).ref
        )

    command: dict[str, Plain] = {"command": "person walk-up", "person": code}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _later_places(site: Site, view: View, doing: Doing, code: str) -> tuple[Finding, ...]:
    """Return a finding that names the places somebody has still to come."""
    state = view.one(PERSON, code) or PersonState()
    later = sorted(each.slot_ms for each in state.bookings if each.slot_ms > to_ms(doing.at))
    places = [local_date(from_ms(slot), site.zone).isoformat() for slot in later]
    away = place_elsewhere(view.one(AWAY, code), local_date(doing.at, site.zone))
    if away is not None:
        places.append(f"{away.day.isoformat()} at {away.site}")
    if not places:
        return ()
    days = ", ".join(places)
    says = f"{code} has a place on {days} too; who else could have it?"
    return (Finding(Level.CHECK, "later-place", says),)
