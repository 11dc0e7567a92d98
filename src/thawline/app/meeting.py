"""
Who is in front of the desk: compared with what is kept, by two identifiers.

The person says or points to name and birth date; staff type or compare it and never read out
what is kept. No document is asked for. Names and numbers go to `identity.db` alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

from thawline.app.acts import Doing, Outcome, act
from thawline.app.at_the_desk import later_word
from thawline.app.booking_rows import identity_of
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.kept import kept_of, refuse_changed
from thawline.app.on_record import is_on_record
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, from_ms, local_date, to_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.person_events import PersonArrived
from thawline.person.desk import BORN, DESK, NAME, PHONE, Compared, Met, agreement, stricter_met
from thawline.person.desk import standing as standing_of
from thawline.person.fold import PERSON, PersonState
from thawline.person.likeness import Identity, Likeness, likeness_of
from thawline.person.names import NameLikeness, names_alike
from thawline.rebook.ages import age_findings
from thawline.rebook.dates import age_on
from thawline.rebook.due import booking_findings
from thawline.rebook.series import dose_days, next_dose, occurred_on


@dataclass(frozen=True, slots=True)
class Facing:
    """Somebody on the list who may be the person in front of the desk."""

    person: str
    identity: Identity
    places: tuple[Instant, ...]
    doses: int
    likeness: Likeness | None  # None: of the same name, and not alike in the rest


@dataclass(frozen=True, slots=True)
class Meeting:
    """
    What came of comparing: whom, how they agree, everybody of that name side by side.

    `person` is None where the desk must say which of them it is; nothing is recorded then.
    `spelled` are the name as said and as kept where they may be one: somebody looks at both.
    `age` is in whole years on the day, None where no birth date is known. `dose_number` is
    the one that is next by the record, None where both were given or nobody was chosen.
    """

    person: str | None
    compared: Compared | None
    facing: tuple[Facing, ...]
    age: int | None
    outcome: Outcome | None
    dose_number: int | None = None
    spelled: tuple[str, str] | None = None


def everybody_of(
    site: Site, view: View, said: Identity, code: str | None = None
) -> tuple[Facing, ...]:
    """
    Return everybody on the list who has that name, or may have it spelled otherwise.

    With a code, everybody of the name that is kept under it too, whatever name is said.
    """
    kept = kept_of(site, view, code) if code else None
    asked = [said, *([identity_of(kept)] if kept else [])]
    found = {person: name for each in asked for person, name in site.people.may_be(each)}
    like = said if said.name else asked[-1]
    return tuple(
        _facing(view, person, like, identity_of(name)) for person, name in sorted(found.items())
    )


def _facing(view: View, person: str, said: Identity, kept: Identity) -> Facing:
    state = view.one(PERSON, person) or PersonState()
    places = tuple(from_ms(each.slot_ms) for each in state.bookings)
    return Facing(
        person, kept, places, len(state.doses) + len(state.told), likeness_of(said, kept)
    )


def meet(site: Site, doing: Doing, said: Identity, code: str | None = None) -> Meeting:
    """
    Compare what a person says with what is kept, and record which of it agrees.

    Without a code, the one of that name and birth date; where more than one may be meant, or
    none for certain, nothing is recorded and all are shown side by side.

    Raises:
        NotFoundError: Nobody is of that code, or of that name.
        RecordError: The birth date cannot be right.
    """
    refuse_birth_date(site, doing, said.born)
    with site.ledger.view() as view:
        facing = everybody_of(site, view, said, code)
        person = code or _only(facing, said)
        kept = None if person is None else _kept(site, view, person)
    if kept is None:
        if not facing:
            raise _nobody(said)
        return Meeting(None, None, facing, None, None)
    heard = Heard(*agreement(said, kept), spelled_otherwise(said, kept), said.born)
    return _recorded(site, doing, (person or "", kept), heard, facing)


@dataclass(frozen=True, slots=True)
class Heard:
    """
    What staff heard beside what they saw: which of name, born and phone agree or differ.

    `spelled` are the name as said and as kept where they may be one; `born` as it was said.
    """

    agreed: tuple[str, ...] = ()
    differed: tuple[str, ...] = ()
    spelled: tuple[str, str] | None = None
    born: date | None = None


def hear(site: Site, doing: Doing, person: str, heard: Heard) -> Meeting:
    """
    Record that staff compared, by ear, what a person said with what is kept.

    Raises:
        NotFoundError: Nobody is of that code.
        RecordError: Something is compared that is not kept, or is both the same and not.
    """
    with site.ledger.view() as view:
        kept = _kept(site, view, person)
        facing = everybody_of(site, view, kept, person) if kept.name else ()
    known = {NAME: kept.name, BORN: kept.born, PHONE: kept.phone}
    for each in (*heard.agreed, *heard.differed):
        if not known.get(each):
            raise RecordError(
                f"no {_WORDS.get(each, each)} is kept of {person}",
                advice="type what was said, so that it is kept from now on",
            )
    if both := set(heard.agreed) & set(heard.differed):
        word = _WORDS[min(both)]
        raise RecordError(f"the {word} both agrees and differs", advice="say one of them")
    return _recorded(site, doing, (person, kept), heard, facing)


def _recorded(
    site: Site,
    doing: Doing,
    known: tuple[str, Identity],
    heard: Heard,
    facing: Sequence[Facing],
) -> Meeting:
    person, kept = known
    agreed, differed = heard.agreed, heard.differed
    others = tuple(each.person for each in facing if each.person != person)
    event = PersonArrived(person=person, agreed=agreed, differed=differed, same_name=others)
    findings = compared_findings(person, (agreed, differed), others, heard.spelled)
    born = kept.born or heard.born

    def decide(view: View) -> Decision:
        refuse_changed(site, view, person, kept)
        rules = in_force(site, view, doing.at)
        today = local_date(doing.at, site.zone)
        young = age_findings(born, today, rules.protocol.screening) if born else ()
        state = view.one(PERSON, person) or PersonState()
        early = booking_findings(dose_days(state), today, cache(rules_by_time(site, view)))
        later = differed_later(site, view, doing, event)
        return Decision(event, worst_first([*findings, *young, *early, *later]), rules.ref)

    command: dict[str, Plain] = {
        "command": "person meet",
        "person": person,
        "agreed": list(agreed),
        "differed": list(differed),
    }
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    age = None if born is None else age_on(born, local_date(doing.at, site.zone))
    compared = standing_of(agreed, differed)
    with site.ledger.view() as view:
        state = view.one(PERSON, person) or PersonState()
        then = occurred_on(doing.occurred, site.zone)
        number = next_dose(state, then, cache(rules_by_time(site, view)))
    return Meeting(person, compared, tuple(facing), age, outcome, number, heard.spelled)


def differed_later(
    site: Site, view: View, doing: Doing, event: PersonArrived
) -> tuple[Finding, ...]:
    """Return a finding where a worse comparison of that day counts, and not this one."""
    when = to_ms(doing.occurred.lo), to_ms(doing.occurred.hi)
    typed = Met(*when, event.agreed, event.differed, event.same_name, event.walk_up)
    stands = stricter_met(view.one(DESK, event.person), typed, site.zone)
    if stands is None:
        return ()
    compared = standing_of(stands.agreed, stands.differed).value
    return (later_word(site, f"{event.person} was compared ({compared})", stands.hi_ms),)


def _only(facing: Sequence[Facing], said: Identity) -> str | None:
    """
    Return who is meant: by birth date, by phone too where two share it; None: not clear.

    Somebody whose name is spelled otherwise is never meant for certain.
    """
    named = [each for each in facing if each.likeness is not Likeness.SPELLED]
    born = [each for each in named if said.born and each.identity.born == said.born]
    exact = [each for each in born if each.likeness is Likeness.SAME]
    chosen = exact or born
    return chosen[0].person if len(chosen) == 1 else None


def _kept(site: Site, view: View, person: str) -> Identity:
    name = kept_of(site, view, person)
    if name is not None:
        return identity_of(name)
    if not is_on_record(view, person):
        raise NotFoundError(f"no person {person!r} here", advice="thawline person walk-up")
    return Identity("")


def _nobody(said: Identity) -> NotFoundError:
    if not said.name:
        return NotFoundError("no name and no code is said", advice="add --name, or the code")
    return NotFoundError(
        "nobody of that name here", advice="thawline person walk-up, for whoever has no place"
    )


def compared_findings(
    person: str,
    agreement: tuple[Sequence[str], Sequence[str]],
    others: Sequence[str],
    spelled: tuple[str, str] | None,
) -> tuple[Finding, ...]:
    """Return what is to be said of what agreed and what differed, the worst first."""
    agreed, differed = agreement
    compared = standing_of(agreed, differed)
    if compared is Compared.DIFFERS:
        what = " and ".join(_WORDS[each] for each in differed)
        says = f"What was said differs from what is kept of {person}: {what}. Give none."
        return (Finding(Level.STOP, "identity-differs", says), *_others(others))
    found = []
    if compared is Compared.TOO_FEW:
        says = f"{person}: fewer than two identifiers agree. Ask for name, birth date or phone."
        found.append(Finding(Level.ACT, "identity-not-compared", says))
    if differed:
        says = f"{person}: another phone number is kept. Ask which is right."
        found.append(Finding(Level.CHECK, "phone-differs", says))
    return (*found, *_asked(person, spelled), *_others(others))


_WORDS = {NAME: "name", BORN: "birth date", PHONE: "phone"}


def spelled_otherwise(said: Identity, kept: Identity) -> tuple[str, str] | None:
    """Return both names where they may be one and are not the same; for a screen alone."""
    if names_alike(said.name, kept.name) in (None, NameLikeness.SAME):
        return None
    return said.name, kept.name


def _asked(person: str, spelled: tuple[str, str] | None) -> tuple[Finding, ...]:
    """Return the question about two spellings; no name stands in it, as it is recorded."""
    if spelled is None:
        return ()
    says = f"The name kept of {person} is spelled otherwise. Look at both: the same person?"
    return (Finding(Level.CHECK, "name-spelled-otherwise", says),)


def _others(others: Sequence[str]) -> tuple[Finding, ...]:
    if not others:
        return ()
    says = (
        f"Same or nearly the same name: {', '.join(others)}. Look at them side by side "
        "before anything else."
    )
    return (Finding(Level.CHECK, "same-name", says),)


def refuse_birth_date(site: Site, doing: Doing, born: date | None) -> None:
    """Raise RecordError for a birth date still to come, or of somebody nobody can be."""
    if born is not None:
        age_on(born, local_date(doing.at, site.zone))
