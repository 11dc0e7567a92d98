"""Doses: checked before the needle, recorded after it, wasted, and people left without one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NoReturn

from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.in_force import in_force
from thawline.app.in_hand import Gathered, Needle, gathered
from thawline.app.observing import kit_now
from thawline.app.ports import Name, Site
from thawline.base.errors import NotFoundError, RecordError, RefusedError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, Occurred, from_ms, local_date, read_date
from thawline.give.checks import dose_findings, given_findings
from thawline.give.overrides import SetAside, lacks_second_person, standing_stops
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import DoseChecked, DoseGiven, DoseNotGiven, EarlierDoseTold
from thawline.observe.kit import PAUSED
from thawline.person.fold import PERSON, PersonState, open_checks
from thawline.person.likeness import Identity
from thawline.rebook.series import dose_days, judged_next
from thawline.rules.protocol import ProtocolRef
from thawline.vial.folds import VIAL
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Checked:
    """The rules' answer before the needle."""

    findings: tuple[Finding, ...]
    may: bool
    dose_number: int
    protocol: ProtocolRef


def question(
    site: Site, needle: Needle, station: str, at: Instant, since: Instant | None = None
) -> Checked:
    """Return what the rules say before the needle, and record nothing; `since` if unsure."""
    when = Occurred(since or at, at)
    with site.ledger.view() as view:
        known = gathered(site, view, needle, station, when, site.now())
        return _checked(known, kit_now(site, view, at), None)


def check(site: Site, doing: Doing, needle: Needle) -> Outcome:
    """
    Check a dose before the needle and note that it was checked.

    Raises:
        RefusedError: The rules forbid it; with a second person missing, SecondPersonError.
            The note is kept.
    """

    def decide(view: View) -> Decision:
        now = doing.recorded_at
        known = gathered(site, view, needle, doing.station, doing.occurred, now)
        answer = _checked(known, kit_now(site, view, doing.at), _offered(doing))
        event = DoseChecked(
            person=needle.person,
            syringe=needle.syringe,
            vial=needle.vial,
            may=answer.may,
            codes=_codes(answer.findings),
            screened_by=needle.screened_by,
            screening=needle.screening,
        )
        return Decision(event, answer.findings, answer.protocol)

    outcome = act(site, doing, _command("dose check", needle), decide, kind=Kind.NOTE)
    if isinstance(outcome.event, DoseChecked) and not outcome.event.may:
        _refuse(site, doing, outcome.findings)
    return outcome


def _offered(doing: Doing) -> SetAside:
    second = doing.second.name if doing.second and doing.second.by_own_entry else None
    return SetAside(doing.why, second)


def _refuse(site: Site, doing: Doing, findings: Sequence[Finding]) -> NoReturn:
    """Raise for a check that was refused; says so where only a second person is missing."""
    with site.ledger.view() as view:
        overrides = in_force(site, view, doing.at).protocol.overrides
    if lacks_second_person(findings, overrides, _offered(doing)):
        needs_second(doing, "setting this refusal aside")
    raise RefusedError(findings)


def _checked(known: Gathered, kit: tuple[Finding, ...], offered: SetAside | None) -> Checked:
    of_dose = dose_findings(known.person, known.dose, known.chair, known.rule_on(known.then))
    found = worst_first([*of_dose, *kit])
    left = standing_stops(found, known.rules.protocol.overrides, offered)
    return Checked(found, not left, known.person.dose_number, known.rules.ref)


def give(site: Site, doing: Doing, needle: Needle) -> Outcome:
    """Record a dose that was given; never refused, with everything the rules say to it."""

    def decide(view: View) -> Decision:
        known = gathered(site, view, needle, "", doing.occurred)
        paused = _once_given(kit_now(site, view, doing.at))
        found = worst_first([*_given_findings(known), *paused])
        event = DoseGiven(
            person=needle.person,
            dose_number=known.person.dose_number,
            lot=known.dose.lot,
            syringe=needle.syringe,
            vial=needle.vial or known.dose.vial,
            doses_from=_account(view, needle),
            arm=needle.arm,
            route=needle.route,
            volume_ul=needle.volume_ul,
            screened_by=needle.screened_by or known.person.screened_by,
            screening=known.person.screening,
            given_by=doing.by,
            codes=_codes(found),
        )
        return Decision(event, found, known.rules.ref)

    return act(site, doing, _command("dose give", needle), decide, kind=Kind.FACT)


def _once_given(kit: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return what the kit says once the dose was given: only that it was paused."""
    return tuple(finding for finding in kit if finding.code == PAUSED)


def _given_findings(known: Gathered) -> tuple[Finding, ...]:
    """Return what the rules of that minute say to a dose that was given."""
    had = dose_days(known.state) if known.state else ()
    judgement = judged_next(had, known.then, known.rule_on)
    interval = judgement.findings if judgement else ()
    rule = known.rule_on(known.then)
    return given_findings(known.person, known.dose, known.chair, rule, interval)


def not_given(site: Site, doing: Doing, person: str) -> Outcome:
    """Record that a person who was checked left without a dose."""

    def decide(view: View) -> Decision:
        state = view.one(PERSON, person)
        if state is None:
            raise _no_person(person)
        event = DoseNotGiven(person=person, why=doing.why or "not said")
        return Decision(event, _dose_all_the_same(state, local_date(doing.at, site.zone)))

    command: dict[str, Plain] = {"command": "dose none", "person": person}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _dose_all_the_same(state: PersonState, day: date) -> tuple[Finding, ...]:
    """Return a finding where a dose of that day is on record though none was given."""
    if not any(had.earliest <= day <= had.latest for had in dose_days(state)):
        return ()
    says = f"a dose of {day.isoformat()} is on record: one of the two is wrong, correct it"
    return (Finding(Level.ACT, "dose-on-record", says),)


def told(site: Site, doing: Doing, card: EarlierDoseTold) -> Outcome:
    """Record an earlier dose given elsewhere, as the person's card says."""
    day = read_date(card.given_on)
    if day > local_date(doing.recorded_at, site.zone):
        raise RecordError(f"a dose on {card.given_on}, which has not come yet")
    _refuse_before_birth(site, card, day)

    def decide(view: View) -> Decision:
        had = dose_days(view.one(PERSON, card.person) or PersonState())
        if any(dose.earliest <= day <= dose.latest for dose in had):
            raise RecordError(
                f"a dose of {card.person} on {card.given_on} is on record already",
                advice=f"thawline dose find {card.person}",
            )
        return Decision(card, _not_the_first(card, [dose.latest for dose in had], day))

    command: dict[str, Plain] = {
        "command": "dose told",
        "person": card.person,
        "given_on": card.given_on,
        "lot": card.lot,
        "product": card.product,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _refuse_before_birth(site: Site, card: EarlierDoseTold, day: date) -> None:
    name = site.people.get(card.person)
    if name is not None and name.born and day < read_date(name.born):
        raise RecordError(
            f"a dose on {card.given_on}, before the birth of {card.person}",
            advice="look at the card and at the birth date",
        )


def _not_the_first(
    card: EarlierDoseTold, had: Sequence[date], day: date
) -> tuple[Finding, ...]:
    """Return a finding where a dose on record is earlier: the card's is not the first then."""
    earlier = [each for each in had if each < day]
    if not earlier:
        return ()
    says = (
        f"A dose of {card.person} on {min(earlier).isoformat()} is on record, before that of "
        f"the card, {card.given_on}: look at both dates."
    )
    return (Finding(Level.ACT, "not-the-first", says),)


def entry_of_dose(site: Site, person: str, dose_number: int) -> str:
    """
    Return the id of the entry that a person's dose stands on, the newest if there are several.

    Raises:
        NotFoundError: No such dose is on record here.
    """
    with site.ledger.view() as view:
        state = view.one(PERSON, person)
    if state is None:
        raise _no_person(person)
    entries = [had.entry for had in state.doses if had.dose_number == dose_number]
    if not entries:
        raise NotFoundError(
            f"no dose {dose_number} of {person} is on record here",
            advice=f"thawline dose find {person}",
        )
    return entries[-1]


@dataclass(frozen=True, slots=True)
class Unrecorded:
    """A person who was checked and has neither a dose nor "none given" on record."""

    person: str
    at: Instant
    station: str
    syringe: str | None


def unrecorded(site: Site) -> list[Unrecorded]:
    """Return the people with no dose recorded, the longest waiting first."""
    with site.ledger.view() as view:
        return unrecorded_in(view)


def unrecorded_in(view: View) -> list[Unrecorded]:
    """Return the same from a view that is open already."""
    found = [
        Unrecorded(code, from_ms(check.at_ms), check.station, check.syringe or check.vial)
        for code, person in view.all(PERSON)
        if person.checks
        for check in open_checks(person)
        if check.may
    ]
    return sorted(found, key=lambda each: (each.at, each.person))


@dataclass(frozen=True, slots=True)
class Found:
    """A person, by code or by name, with what the ledger holds of them."""

    person: str
    name: Name | None
    state: PersonState


def find(site: Site, text: str) -> list[Found]:
    """
    Return people by their code, by their name or by a part of it.

    Raises:
        NotFoundError: There is nobody like that.
    """
    with site.ledger.view() as view:
        state = view.one(PERSON, text)
        if state is not None:
            return [Found(text, site.people.get(text), state)]
        named = _named(site, text)
        known = [(code, name, view.one(PERSON, code)) for code, name in named]
    found = [Found(code, name, state or PersonState()) for code, name, state in known]
    if not found:
        raise _no_person(text)
    return found


def _named(site: Site, text: str) -> list[tuple[str, Name]]:
    """Return whoever has that name, however short, or a part of it, by their codes."""
    whole = dict(site.people.may_be(Identity(text)))
    try:
        part = dict(site.people.find(text))
    except RecordError:  # too short for a part of a name
        if not whole:
            raise
        part = {}
    return sorted({**part, **whole}.items())


def _account(view: View, needle: Needle) -> str | None:
    """Return the account the dose leaves; None when the book holds no such dose."""
    if needle.syringe is not None:
        syringe = view.one(SYRINGE, needle.syringe)
        drawn = syringe is not None and syringe.became == "drawn"
        return f"syringe:{needle.syringe}" if drawn else None
    vial = view.one(VIAL, needle.vial or "")
    return f"vial:{needle.vial}" if vial is not None and vial.left > 0 else None


def _codes(findings: Sequence[Finding]) -> tuple[str, ...]:
    return tuple(finding.code for finding in findings if finding.level is not Level.CHECK)


def _command(name: str, needle: Needle) -> dict[str, Plain]:
    return {
        "command": name,
        "person": needle.person,
        "syringe": needle.syringe,
        "vial": needle.vial,
        "dose_number": needle.dose_number,
        "arm": needle.arm,
        "route": needle.route,
        "volume_ul": needle.volume_ul,
        "screened_by": needle.screened_by,
        "screening": needle.screening,
    }


def _no_person(person: str) -> NotFoundError:
    return NotFoundError(f"no person {person!r} here", advice="thawline booking list")
