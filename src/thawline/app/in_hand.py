"""Gathers what is known of a person, a dose in hand and a chair, for the checks of `give`."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from thawline.app.at_the_desk import with_the_desk
from thawline.app.in_force import InForce, in_force, rules_by_time
from thawline.app.ports import Site
from thawline.app.standings import Stood, stood, stood_for_syringes
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import (
    Instant,
    Occurred,
    from_ms,
    last_moment,
    local_date,
    to_ms,
)
from thawline.base.stations import same_station
from thawline.give.facts import Became, ChairFacts, DoseFacts, PersonFacts, ToCome, Unanswered
from thawline.ledger.entries import View
from thawline.ledger.fitting import ARMS, DOSE_NUMBERS
from thawline.person.fold import PERSON, PersonState, last_screening, open_checks
from thawline.prepare.opening import draw_refusals
from thawline.rebook.series import (
    DoseDay,
    RuleOn,
    awaited,
    dose_days,
    has_undated_dose,
    occurred_on,
)
from thawline.rules.questions import told
from thawline.screen.verdict import stricter_of
from thawline.vial.facts import Row, SyringeState, fact_of, story_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.opening import opened_at
from thawline.vial.reckon import State
from thawline.vial.syringes import NEVER_DRAWN, SYRINGE


@dataclass(frozen=True, slots=True)
class Needle:
    """What somebody says about a dose before or after the needle."""

    person: str
    syringe: str | None = None
    vial: str | None = None
    dose_number: int | None = None
    screened_by: str | None = None
    screening: str | None = None
    lots: tuple[str, ...] = ()
    arm: str | None = None
    route: str = "IM"
    volume_ul: int | None = None

    def __post_init__(self) -> None:
        if not self.person.strip():
            raise RecordError("no person is named", advice="scan the card, or type the code")
        if (self.syringe is None) == (self.vial is None):
            raise RecordError(
                "a dose comes from one syringe, or from one vial",
                advice="scan the syringe, or name the vial when it is drawn at the chair",
            )
        if self.arm not in (None, *ARMS):
            raise RecordError(
                f"arm must be left or right: {self.arm!r}", advice="leave it out if not known"
            )
        if self.dose_number not in (None, *DOSE_NUMBERS):
            raise RecordError(
                f"dose must be 1 or 2: {self.dose_number}",
                advice="leave it out for the dose that is due by the record",
            )
        if self.volume_ul is not None and self.volume_ul <= 0:
            raise RecordError(
                f"a volume of {self.volume_ul} microlitres", advice="write it in mL, as in 0.5"
            )

    @property
    def code(self) -> str:
        """The code in hand."""
        return self.syringe or self.vial or ""


@dataclass(frozen=True, slots=True)
class Gathered:
    """Everything the checks need, and the rules they are made under."""

    rules: InForce
    rule_on: RuleOn
    then: DoseDay
    person: PersonFacts
    dose: DoseFacts
    chair: ChairFacts
    state: PersonState | None
    station_of_syringe: str = ""


def gathered(
    site: Site,
    view: View,
    needle: Needle,
    station: str,
    when: Occurred,
    now: Instant | None = None,
) -> Gathered:
    """
    Return what is known of the dose then; of an uncertain time at the stricter end.

    What the person said counts up to then. Before the needle it counts up to `now` on that
    day, whatever time was typed for the question: nobody is given a dose in the past.
    """
    at, then = when.hi, occurred_on(when, site.zone)
    rules, rule_on = in_force(site, view, at), rules_by_time(site, view)
    state = view.one(PERSON, needle.person)
    said_by = max(at, min(now or at, last_moment(then.latest, site.zone)))
    person = with_the_desk(_person(needle, state, then, rule_on), site, view, said_by)
    return Gathered(
        rules,
        rule_on,
        then,
        _screened(person, site, rules, state, said_by),
        _dose(view, rules, needle, at),
        _chair(site, view, needle, station, when),
        state,
    )


def _person(
    needle: Needle, state: PersonState | None, then: DoseDay, rule_on: RuleOn
) -> PersonFacts:
    """Return the person with the outcome that is named now, whatever is on record of it."""
    if state is None or not (state.bookings or state.doses or state.told):
        return PersonFacts(
            code=needle.person,
            known=False,
            dose_number=needle.dose_number or 1,
            screening=needle.screening,
        )
    had = dose_days(state)
    to_come = awaited(had, then, rule_on)
    needs = [booking.needs for booking in state.bookings if booking.needs]
    return PersonFacts(
        code=needle.person,
        known=True,
        dose_number=needle.dose_number or (2 if had else 1),
        doses_on=tuple(day.latest for day in had),
        to_come=None if to_come is None else ToCome(to_come.counted_from, to_come.due),
        undated=has_undated_dose(state),
        screening=needle.screening,
        needs=needs[-1] if needs else "",
    )


def _screened(
    person: PersonFacts, site: Site, rules: InForce, state: PersonState | None, by: Instant
) -> PersonFacts:
    """
    Return the person with the outcome that counts at the needle; answers expire that day.

    The recorded screening of the day for this dose, else what was named at a check before.
    What is named now counts beside it, the stricter of the two: something may have changed
    since, and a recorded refusal is not talked away at the chair. With it go who screened
    them, and what that asks of the chair.
    """
    if state is None:
        return person
    screening = last_screening(state, by, site.zone, person.dose_number)
    if screening is None:
        return replace(person, screening=person.screening or _named_by(site, state, by))
    items = {reason.partition("=")[0] for reason in screening.reasons}
    advice = [
        (question.item, told(question, question.advice))
        for question in rules.protocol.screening
        if question.advice and question.item in items
    ]
    outcome = stricter_of(screening.outcome, person.screening)
    return replace(person, screening=outcome, advice=tuple(advice), screened_by=screening.by)


def _named_by(site: Site, state: PersonState, at: Instant) -> str | None:
    """Return the outcome named at the last check of the same day that was made by then."""
    day = local_date(at, site.zone)
    named = [
        (check.at_ms, check.screening)
        for check in state.checks
        if check.screening
        and check.at_ms <= to_ms(at)
        and local_date(from_ms(check.at_ms), site.zone) == day
    ]
    return max(reversed(named), key=lambda each: each[0])[1] if named else None


def _dose(view: View, rules: InForce, needle: Needle, at: Instant) -> DoseFacts:
    if needle.vial is not None:
        return _from_vial(view, rules, needle.vial, needle.vial, at)
    code = needle.code
    syringe = view.one(SYRINGE, code)
    if syringe is None or syringe.became == NEVER_DRAWN:
        return DoseFacts(code=code, known=False)
    if syringe.vial is None or syringe.ready_drawn:
        return _ready_drawn(view, rules, code, syringe)
    return _from_vial(view, rules, code, syringe.vial, at, syringe)


def _ready_drawn(view: View, rules: InForce, code: str, syringe: SyringeState) -> DoseFacts:
    lot = view.one(LOT, syringe.lot)
    held_lot = _held(lot.rows, rules) if lot else None
    return DoseFacts(
        code=code,
        known=True,
        lot=syringe.lot,
        became=Became(syringe.became),
        use_by=None if syringe.use_by_ms is None else from_ms(syringe.use_by_ms),
        held=_held(syringe.rows, rules),
        lot_held=held_lot,
    )


def _held(rows: Iterable[Row], rules: InForce) -> str | None:
    """Return why these facts hold a thing; None where they do not."""
    found = holds([fact_of(row) for row in rows], rules.protocol.bands)
    return found[0].says if found else None


def _from_vial(
    view: View,
    rules: InForce,
    code: str,
    vial: str,
    at: Instant,
    syringe: SyringeState | None = None,
) -> DoseFacts:
    if view.one(VIAL, vial) is None:
        return DoseFacts(code=code, known=False)

    ask = stood if syringe is None else stood_for_syringes
    now = ask(view, rules, vial, at)
    discarded = syringe is None and now.reckoning.state is State.DISCARDED
    return DoseFacts(
        code=code,
        known=True,
        vial=vial,
        lot=now.vial.lot,
        became=Became(syringe.became) if syringe else Became.DRAWN,
        use_by=now.reckoning.use_by,
        use_by_item=now.reckoning.set_by_item,
        drawn=from_ms(syringe.drawn_lo_ms) if syringe else None,
        opened=opened_at(story_of(now.vial, None).facts),
        held=_held(syringe.rows, rules) if syringe else None,
        discarded=discarded,
        handling=(*now.reckoning.findings, *(_drawing(now, rules) if syringe is None else ())),
    )


def _drawing(now: Stood, rules: InForce) -> list[Finding]:
    """Return what else speaks against drawing one dose from the vial at the chair."""
    vial = now.vial
    if vial.sent_to is not None:
        return [Finding(Level.STOP, "not-here", f"{now.code} was sent to {vial.sent_to}")]
    known = {finding.code for finding in now.reckoning.findings}
    against = draw_refusals(now.code, now.reckoning, vial.left, vial.drawn, 1, rules.protocol)
    return [finding for finding in against if finding.code not in known]


def _chair(site: Site, view: View, needle: Needle, station: str, when: Occurred) -> ChairFacts:
    waiting = tuple(_unanswered(view, station, needle.person, when.hi)) if station else ()
    return ChairFacts(
        now=when.hi,
        since=when.lo,
        zone=site.zone,
        station=station,
        lots=needle.lots,
        unanswered=waiting,
    )


def _unanswered(view: View, station: str, but: str, at: Instant) -> Iterator[Unanswered]:
    """Yield the people whose check at the station nobody has answered since."""
    for code, person in view.all(PERSON):
        if code == but:
            continue
        here = [
            from_ms(check.at_ms)
            for check in open_checks(person)
            if same_station(check.station, station) and check.may and from_ms(check.at_ms) <= at
        ]
        if here:
            yield Unanswered(code, min(here))
