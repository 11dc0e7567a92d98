"""Screening: whom to ask what, the answers recorded, and a referral cleared."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from thawline.app.acts import Doing, Outcome, act
from thawline.app.at_the_desk import later_word
from thawline.app.in_force import in_force
from thawline.app.kept import kept_of
from thawline.app.ports import Name, Site
from thawline.base.errors import (
    NotFoundError,
    RecordError,
    RefusedError,
    SecondPersonError,
    UnsaidError,
)
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, read_date, to_ms
from thawline.base.roles import Role
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared
from thawline.person.fold import (
    PERSON,
    PersonState,
    Screening,
    last_screening,
    stricter_screening,
)
from thawline.rebook.dates import age_on
from thawline.rebook.series import dose_days
from thawline.rules.protocol import ProtocolRef
from thawline.rules.questions import Outcome as Leads
from thawline.rules.questions import Question, by_item
from thawline.screen.answers import read_answers
from thawline.screen.asking import Person, to_ask
from thawline.screen.clearing import CLEARED, cleared
from thawline.screen.decision import Decision as Screened
from thawline.screen.decision import decided

PUBLIC = {
    "en": "Not here today; the clinical lead will explain.",
    "es": "Hoy no, aquí no; la dirección clínica se lo explicará.",
}
"""All that a public screen says after a worrying answer."""

REASONS = ("asked-again", "risk-weighed", "not-as-told", "other")
"""The known words for why a referral was cleared; others are not kept. Decision 0102."""


@dataclass(frozen=True, slots=True)
class Interview:
    """Whom to ask what today: all questions, those to be asked, what is known besides."""

    questions: tuple[Question, ...]
    to_ask: tuple[Question, ...]
    person: Person
    today: date
    language: str
    protocol: ProtocolRef


def interview(site: Site, code: str, at: Instant, dose: int | None = None) -> Interview:
    """
    Return what a person must be asked today, and in which language they are spoken to.

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RecordError: The protocol in force asks nothing, or a birth date cannot be right.
    """
    with site.ledger.view() as view:
        return _interview(site, view, code, at, dose)


def _interview(site: Site, view: View, code: str, at: Instant, dose: int | None) -> Interview:
    rules = in_force(site, view, at)
    state = _state(view, code)
    today = local_date(at, site.zone)
    questions = rules.protocol.screening
    if not questions:
        raise RecordError(
            f"protocol {rules.ref.id} version {rules.ref.version} has no screening questions",
            advice="adopt a version with [[screening]], or use screening decide --rules",
        )
    name = kept_of(site, view, code)
    person = _known(name, state, today, dose)
    kept = [name.language] if name and name.language else []
    languages = [*kept, *(each.language for each in state.bookings if each.language)]
    language = "es" if languages and languages[-1] == "es" else "en"
    asked = to_ask(questions, person, today)
    return Interview(questions, asked, person, today, language, rules.ref)


def _state(view: View, code: str) -> PersonState:
    state = view.one(PERSON, code)
    if state is None:
        raise NotFoundError(
            f"no person {code!r} here", advice="book the walk-up first: thawline booking load"
        )
    return state


def _known(name: Name | None, state: PersonState, today: date, dose: int | None) -> Person:
    """Return what is known without asking: which dose it is, the age, the first dose."""
    if dose not in (None, 1, 2):
        raise RecordError(f"dose must be 1 or 2: {dose}", advice="leave it out")
    had = dose_days(state)
    born = read_date(name.born) if name and name.born else None
    return Person(
        dose=dose or (2 if had or state.told else 1),
        age=None if born is None else age_on(born, today),
        first_dose=had[-1].latest if had else None,
    )


def answer(
    site: Site,
    doing: Doing,
    code: str,
    typed: Sequence[str],
    *,
    dose: int | None = None,
    others_no: bool = False,
) -> tuple[Outcome, Screened | None]:
    """
    Record the answers of a person and what they come to; None when it was recorded before.

    Raises:
        UnsaidError: A question that is to be asked has no answer; nothing is recorded.
        RecordError: An answer cannot be right.
        NotFoundError: Nobody of that code is on record here.
    """
    kept: list[Screened] = []

    def decide(view: View) -> Decision:
        known = _interview(site, view, code, doing.at, dose)
        answers = read_answers(typed, by_item(known.questions), known.today)
        found = decided(
            known.questions, answers, known.today, known.person, others_no=others_no
        )
        if found.not_answered:
            raise _unanswered(found.not_answered)
        kept.append(found)
        event = _event(code, found, known.person.dose)
        later = _asked_later(site, _state(view, code), doing, event)
        return Decision(event, (*_findings(found), *later), known.protocol)

    command: dict[str, Plain] = {
        "command": "screening ask",
        "person": code,
        "answers": sorted(typed),
        "dose": dose,
        "others_no": others_no,
    }
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    return outcome, kept[-1] if kept else None


def _asked_later(
    site: Site, state: PersonState, doing: Doing, event: ScreeningAnswered
) -> tuple[Finding, ...]:
    """Return a finding where a stricter screening of that day counts, and not this one."""
    typed = Screening(
        lo_ms=to_ms(doing.occurred.lo),
        hi_ms=to_ms(doing.occurred.hi),
        zone=site.zone.key,
        by=doing.by,
        outcome=event.outcome,
        reasons=event.reasons,
        until=event.until,
        dose_number=event.dose_number,
        entry=str(doing.id),
    )
    stands = stricter_screening(state, typed, site.zone)
    if stands is None:
        return ()
    return (later_word(site, f"{event.person} was screened otherwise", stands.hi_ms),)


def _event(code: str, found: Screened, dose: int | None) -> ScreeningAnswered:
    return ScreeningAnswered(
        person=code,
        outcome=found.so_far.outcome.value,
        answers=tuple(f"{item}={said.code}" for item, said in found.answers.items()),
        reasons=tuple(f"{each.item}={each.verdict.outcome.value}" for each in found.reasons),
        until=found.until.isoformat() if found.until else None,
        dose_number=dose,
    )


def _unanswered(items: Sequence[str]) -> UnsaidError:
    return UnsaidError(
        f"not answered: {', '.join(items)}; nothing is recorded",
        advice=f"add --answer {items[0]}=no (or yes, not-sure), or --others no if all were no",
    )


def _findings(found: Screened) -> tuple[Finding, ...]:
    if found.so_far.outcome.gives:
        return ()
    return (Finding(Level.ACT, "not-here-today", PUBLIC["en"]),)


def today_of(site: Site, code: str, at: Instant) -> Screening | None:
    """
    Return the last screening of the person on the local day; None without one.

    Raises:
        NotFoundError: Nobody of that code is on record here.
    """
    with site.ledger.view() as view:
        return last_screening(_state(view, code), at, site.zone)


def clear(site: Site, doing: Doing, code: str, pin: str | None) -> Outcome:
    """
    Record that the clinical lead decided a referral of today: give, with the longer stay.

    Raises:
        SecondPersonError: It is not the clinical lead's own PIN.
        UnsaidError: No reason is given.
        RefusedError: There is no referral of today, or more than one speaks against the dose.
    """
    if not doing.why.strip():
        raise UnsaidError("no reason is given", advice=f"add --why, one of {_WORDS}")
    refuse_others(site, doing.by, pin)
    word = doing.why.strip().casefold()
    why = word if word in REASONS else "other"

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        screening = last_screening(_state(view, code), doing.at, site.zone)
        if screening is None:
            raise RefusedError([_none_today(code)])
        if against := cleared(Leads(screening.outcome), _reasons(screening)):
            raise RefusedError(against)
        event = ScreeningCleared(
            person=code, screening=screening.entry, outcome=CLEARED.value, why=why
        )
        return Decision(event, () if why == word else (_not_kept(),), rules.ref)

    command: dict[str, Plain] = {"command": "screening clear", "person": code}
    return act(site, doing, command, decide)


_WORDS = ", ".join(REASONS)


def refuse_others(
    site: Site, by: str, pin: str | None, what: str = "a referral is cleared"
) -> None:
    """Raise SecondPersonError unless this is the clinical lead, by their own PIN."""
    if pin is not None and site.pins.fits(by, pin):
        if site.pins.role_of(by) is Role.CLINICAL_LEAD:
            return
        says = f"{by} is not known here as the clinical lead"
        advice = 'thawline site pin NAME PIN --role "clinical lead"'
    else:
        says = f"{what} by the clinical lead's own PIN only"
        advice = "add --by NAME --pin PIN of the clinical lead"
    raise SecondPersonError([Finding(Level.STOP, "second-person", says)], advice=advice)


def _reasons(screening: Screening) -> list[tuple[str, Leads]]:
    pairs = (reason.partition("=") for reason in screening.reasons)
    return [(item, Leads(leads_to)) for item, _, leads_to in pairs]


def _none_today(code: str) -> Finding:
    says = f"{code} has no screening of today; answers expire with their day."
    return Finding(Level.STOP, "not-screened", says)


def _not_kept() -> Finding:
    says = f"The words of the reason were not kept, only that it is another than {_WORDS}."
    return Finding(Level.CHECK, "words-not-kept", says)


def answers_of(screening: Screening) -> Mapping[str, str]:
    """Return the items that gave a reason, each with what it leads to."""
    return dict(reason.split("=", 1) for reason in screening.reasons)
