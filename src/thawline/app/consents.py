"""What was said to the dose of the day, and what is kept of somebody put right."""

from collections.abc import Callable, Mapping
from datetime import date

from msgspec.structs import replace

from thawline.app.acts import Doing, Outcome, act
from thawline.app.at_the_desk import later_word
from thawline.app.in_force import in_force
from thawline.app.kept import amended, settled, values_of, waiting
from thawline.app.meeting import refuse_birth_date
from thawline.app.on_record import is_on_record
from thawline.app.ports import Name, Site
from thawline.base.errors import NotFoundError, RecordError, ReusedIdError, UnsaidError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import local_date, read_date, to_ms
from thawline.ledger.canonical import composed
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.person_events import ConsentAnswered, PersonAmended
from thawline.person.desk import BORN, DESK, NAME, PHONE, Consent, Said, Whose, stricter_consent
from thawline.person.likeness import Identity


def consent(site: Site, doing: Doing, said: ConsentAnswered) -> Outcome:
    """
    Record what was said to the dose of the day; a fact, and a no is kept like a yes.

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RecordError: The answer, who said it or a date cannot be right.
    """
    today = local_date(doing.at, site.zone)
    _refuse_unfit(said, today)
    event = replace(said, given_on=said.given_on or (today.isoformat() if said.edition else ""))

    def decide(view: View) -> Decision:
        if not is_on_record(view, event.person):
            raise _nobody(event.person)
        found = (*_findings(event), *_standing_no(site, view, doing, event))
        return Decision(event, worst_first(found), in_force(site, view, doing.at).ref)

    command: dict[str, Plain] = {
        "command": "person consent",
        "person": event.person,
        "answer": event.answer,
        "whose": event.whose,
        "edition": event.edition,
        "given_on": event.given_on,
        "interpreter": event.interpreter,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _refuse_unfit(said: ConsentAnswered, today: date) -> None:
    _one_of("answer", said.answer, tuple(Consent))
    _one_of("whose", said.whose, tuple(Whose))
    for name, text in (("edition", said.edition), ("given on", said.given_on)):
        if text and read_date(text) > today:
            raise RecordError(
                f"{name} {text}, which has not come yet",
                advice="look at the date printed on it",
            )
    if said.edition and said.given_on and said.given_on < said.edition:
        raise RecordError(
            f"information of {said.edition} given on {said.given_on}, before it was printed",
            advice="look at both dates",
        )


def _one_of(name: str, value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        raise RecordError(f"{name} cannot be {value!r}", advice=f"one of {', '.join(known)}")


def _findings(event: ConsentAnswered) -> tuple[Finding, ...]:
    if event.answer != Consent.YES:
        says = f"{event.person} gets no dose. Record: thawline dose none {event.person}"
        return (Finding(Level.ACT, "no-consent", says),)
    if not event.edition:
        says = "Which information was given is not on record: add --edition, as printed on it."
        return (Finding(Level.CHECK, "information-not-said", says),)
    return ()


def _standing_no(
    site: Site, view: View, doing: Doing, event: ConsentAnswered
) -> tuple[Finding, ...]:
    """Return a finding where a no of that day counts in spite of what is typed in now."""
    when = to_ms(doing.occurred.lo), to_ms(doing.occurred.hi)
    typed = Said(*when, event.answer, event.whose, event.edition)
    stands = stricter_consent(view.one(DESK, event.person), typed, site.zone)
    if stands is None:
        return ()
    return (later_word(site, f"{event.person} said {stands.answer}", stands.hi_ms),)


def amend(site: Site, doing: Doing, person: str, right: Identity) -> Outcome:
    """
    Put right what is kept of who somebody is; the record has only which of it was changed.

    Whoever was compared before is compared again. The new values wait in `identity.db` until
    the act is on record: one that was cut off counts from then on, and is finished by its id.

    Raises:
        NotFoundError: Nobody of that code is on record here, or no name is kept.
        UnsaidError: Nothing is said that is to be changed.
        RecordError: The birth date cannot be right.
        ReusedIdError: The id stands for other values; nothing is changed.
    """
    refuse_birth_date(site, doing, right.born)
    if site.people.get(person) is None:
        raise _nobody(person)
    said = _said(right)
    if not said:
        raise UnsaidError(
            "nothing to put right is named", advice="add --name, --born or --phone"
        )

    def decide(view: View) -> Decision:
        if not is_on_record(view, person):
            raise _nobody(person)
        return Decision(PersonAmended(person=person, fields=tuple(said)))

    command: dict[str, Plain] = {
        "command": "person amend",
        "person": person,
        "fields": list(said),
    }
    if doing.dry_run:
        return act(site, doing, command, decide, kind=Kind.FACT)
    _begin(site, doing, person, said, decide)
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    _finish(site, person, str(doing.id))
    return outcome


def _begin(
    site: Site,
    doing: Doing,
    person: str,
    said: Mapping[str, str],
    decide: Callable[[View], Decision],
) -> None:
    """Let the values wait beside the name; refuse an id that stands for others."""

    def waits(name: Name) -> Name:
        with site.ledger.view() as view:
            before = settled(view, person, name)
            if view.entry(doing.id) is None:
                decide(view)  # nothing waits for an act that will be refused
                return waiting(before, str(doing.id), said)
        _refuse_other_values(before, said)
        return name

    site.people.change(person, waits)


def _refuse_other_values(name: Name, said: Mapping[str, str]) -> None:
    known = values_of(name)
    if other := [each for each, value in said.items() if composed(value) != known[each]]:
        raise ReusedIdError(
            f"the id of this act stands for another {' and '.join(other)}, or what is kept was "
            "put right since; nothing is changed",
            advice="leave --id out",
        )


def _finish(site: Site, person: str, act_id: str) -> None:
    """Let the values of this act count; those of another that wait are left alone."""
    site.people.change(person, lambda name: amended(name, act_id))


def _said(right: Identity) -> dict[str, str]:
    values = {
        NAME: right.name.strip(),
        BORN: right.born.isoformat() if right.born else "",
        PHONE: right.phone.strip(),
    }
    return {field: value for field, value in values.items() if value}


def _nobody(person: str) -> NotFoundError:
    return NotFoundError(
        f"no person {person!r} here", advice="thawline person meet --name NAME"
    )
