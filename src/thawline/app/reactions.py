"""Notes reactions and errors after a dose, and counts them beside the doses."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from thawline.app.acts import Doing, Outcome, act
from thawline.app.calculators import Slip, after_error
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import (
    Instant,
    Occurred,
    from_ms,
    last_moment,
    local_date,
    local_time,
    read_date,
    to_ms,
)
from thawline.give.deviations import Guidance
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.reaction_events import ErrorNoted, ReactionNoted, ReportTold
from thawline.observe.card_fold import CARD
from thawline.observe.named_faints import faints_of
from thawline.observe.reaction_fold import NOTE, Note
from thawline.observe.stay_fold import STAY
from thawline.person.fold import PERSON, DoseHad, PersonState
from thawline.report.reactions import Classified
from thawline.report.seen import Doses

FAINT = "faint"


def note_reaction(
    site: Site, doing: Doing, person: str, found: Classified, began: Occurred | None
) -> Outcome:
    """
    Record a reaction of a person, after the last dose they had before it began.

    No rule refuses it, only a time that cannot be.

    Raises:
        RecordError: It is said to have begun before every dose that is recorded here, or later
            than it is noted.
    """
    began = None if began is None else _by_now(site, began, doing.at)
    command: dict[str, Plain] = {
        "command": "reaction note",
        "person": person,
        "what": found.reaction.code,
        "serious": list(found.criteria),
        "began_ms": None if began is None else to_ms(began.lo),
        "began_by_ms": None if began is None else to_ms(began.hi),
    }

    def decide(view: View) -> Decision:
        state = view.one(PERSON, person)
        dose = _dose_before(site, state, person, doing.at if began is None else began.hi)
        event = ReactionNoted(
            note=str(doing.id),
            person=person,
            what=found.reaction.code,
            serious=tuple(found.criteria),
            began_ms=None if began is None else to_ms(began.lo),
            began_by_ms=None if began is None else to_ms(began.hi),
            dose=None if dose is None else dose.entry,
        )
        return Decision(event, _unknown_dose(person) if dose is None else ())

    return act(site, doing, command, decide, kind=Kind.FACT)


def _by_now(site: Site, began: Occurred, now: Instant) -> Occurred:
    """Return when it began, not later than it is noted; RecordError if it all lies later."""
    if began.lo > now:
        raise RecordError(
            f"it began at {local_time(began.lo, site.zone):%H:%M}, which is later than now",
            advice="give the time it began; --at says when it is noted",
        )
    return Occurred(began.lo, min(began.hi, now))


def _dose_before(
    site: Site, state: PersonState | None, person: str, began: Instant
) -> DoseHad | None:
    """Return the last dose that can have been given before that; None: none is recorded."""
    doses = () if state is None else state.doses
    dose = _last_before(doses, to_ms(began))
    if doses and dose is None:
        raise RecordError(
            f"{person} had no dose before {local_time(began, site.zone):%H:%M} that day",
            advice=f"thawline dose find {person}",
        )
    return dose


def _unknown_dose(person: str) -> tuple[Finding, ...]:
    says = f"no dose of {person} is recorded here: lot and number of the dose are not known"
    return (Finding(Level.CHECK, "reaction-without-dose", says),)


def note_error(
    site: Site, doing: Doing, person: str, slip: Slip
) -> tuple[Outcome, Guidance, str]:
    """
    Record an error with a dose, judged by the version in force on its day.

    Returns:
        What was recorded, what the table says, and the version that says it.

    Raises:
        RecordError: There is no such error, what is told says that it is none, or its day is
            still to come.
    """
    if slip.given_on > local_date(doing.at, site.zone):
        raise RecordError(
            f"a dose given on {slip.given_on}, which is still to come",
            advice="give the day of the dose with --given",
        )
    with site.ledger.view() as view:
        rules = in_force(site, view, _when(site, view, person, slip.given_on))
    found = after_error(slip, rules.protocol)
    event = ErrorNoted(
        note=str(doing.id),
        person=person,
        what=found.what.value,
        given_on=slip.given_on.isoformat(),
        repeat=found.repeat.value if found.repeat else None,
        item=found.item,
    )
    command: dict[str, Plain] = {
        "command": "dose error",
        "person": person,
        "what": slip.what,
        "given": slip.given_on.isoformat(),
        "first": slip.first_on.isoformat() if slip.first_on else None,
        "volume": slip.volume,
    }
    outcome = act(
        site,
        doing,
        command,
        lambda _view: Decision(event, found.findings, rules.ref),
        kind=Kind.FACT,
    )
    return outcome, found, f"{rules.ref.id} version {rules.ref.version}"


def _when(site: Site, view: View, person: str, day: date) -> Instant:
    """Return the minute of the person's dose of that day; the day's last moment if unknown."""
    dose = _dose_on(site, view.one(PERSON, person), day)
    return last_moment(day, site.zone) if dose is None else from_ms(dose.hi_ms)


def _dose_on(site: Site, state: PersonState | None, day: date) -> DoseHad | None:
    """Return the last dose that was given on a local day; None: none is recorded."""
    doses = () if state is None else state.doses
    on_day = [d for d in doses if local_date(from_ms(d.hi_ms), site.zone) == day]
    return on_day[-1] if on_day else None


def note_told(site: Site, doing: Doing, note: str, to: str) -> Outcome:
    """Record that a note was reported to somebody outside; NotFoundError if there is none."""

    def decide(view: View) -> Decision:
        _known(view, note)
        return Decision(ReportTold(note=note, to=to))

    command: dict[str, Plain] = {"command": "reaction report", "note": note, "to": to}
    return act(site, doing, command, decide, kind=Kind.FACT)


@dataclass(frozen=True, slots=True)
class Written:
    """What a report draft is written from: the note and the dose it is about, if known."""

    code: str
    note: Note
    dose: DoseHad | None


def notes(site: Site) -> list[Written]:
    """Return every note, the oldest first."""
    with site.ledger.view() as view:
        found = [_written(site, view, code, note) for code, note in view.all(NOTE)]
    return sorted(found, key=lambda each: (each.note.at_ms, each.code))


def note_of(site: Site, code: str) -> Written:
    """
    Return a note by its code, or by the beginning of one.

    Raises:
        NotFoundError: There is none, or several begin so.
    """
    with site.ledger.view() as view:
        known = [key for key, _ in view.all(NOTE) if key.startswith(code)]
        if len(known) != 1 or not code:
            says = f"no note {code!r} here" if not known else f"{len(known)} notes begin so"
            raise NotFoundError(says, advice="thawline reaction report")
        return _written(site, view, known[0], _known(view, known[0]))


def _known(view: View, code: str) -> Note:
    note = view.one(NOTE, code)
    if note is None:
        raise NotFoundError(f"no note {code!r} here", advice="thawline reaction report")
    return note


def _written(site: Site, view: View, code: str, note: Note) -> Written:
    state = view.one(PERSON, note.person)
    if note.given_on is not None:
        return Written(code, note, _dose_on(site, state, read_date(note.given_on)))
    doses = () if state is None else state.doses
    return Written(code, note, next((d for d in doses if d.entry == note.dose), None))


def doses_and_seen(sites: Iterable[Site], what: str) -> Iterator[Doses]:
    """
    Yield the doses of every site, lot and number, and how many were followed by a reaction.

    A faint that was stamped counts as one that was noted; a dose is counted once however often
    somebody noted it.
    """
    for site in sites:
        with site.ledger.view() as view:
            given = {
                dose.entry: (dose.lot, dose.dose_number)
                for _, state in view.all(PERSON)
                for dose in state.doses
            }
            seen = _followed(view, what)
        counts = Counter(given.values())
        cases = Counter(given[entry] for entry in seen if entry in given)
        for (lot, number), doses in sorted(counts.items(), key=str):
            yield Doses(site.name, lot or "?", number, doses, cases[lot, number])
        unknown = sum(entry not in given for entry in seen)
        if unknown:
            yield Doses(site.name, "?", 0, 0, unknown)


def _followed(view: View, what: str) -> set[str]:
    """Return the doses that a reaction followed; one whose dose is not known by its note."""
    found = {
        note.dose or code
        for code, note in view.all(NOTE)
        if note.what == what and not note.is_error
    }
    if what == FAINT:
        found |= set(_fainted(view))
    return found


def _fainted(view: View) -> Iterator[str]:
    """Yield the last dose that can have been given before each faint that was stamped."""
    cards = list(view.all(CARD))
    for person, stay in view.all(STAY):
        state = view.one(PERSON, person)
        for faint in faints_of(person, stay, cards):
            dose = _last_before(() if state is None else state.doses, faint.down_ms)
            if dose is not None:
                yield dose.entry


def _last_before(doses: Iterable[DoseHad], at_ms: int) -> DoseHad | None:
    """Return the last dose that can have been given by then; one between two times can."""
    before = [dose for dose in doses if dose.lo_ms <= at_ms]
    return max(before, key=lambda dose: dose.hi_ms) if before else None
