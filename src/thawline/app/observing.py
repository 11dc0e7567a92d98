"""The observation area: who may leave and when, emergency stamps, the kit and its pause."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from thawline.app.acts import Doing, Outcome, act
from thawline.app.in_force import all_adopted, in_force, in_force_at
from thawline.app.ports import Site
from thawline.app.screenings import refuse_others
from thawline.base.errors import (
    NotFoundError,
    RecordError,
    RefusedError,
    RuleError,
    UnsaidError,
)
from thawline.base.findings import Finding, Level
from thawline.base.instants import (
    Instant,
    from_ms,
    local_date,
    local_time,
    midnight_before,
    to_ms,
)
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import Event
from thawline.ledger.observation_events import (
    CardNamed,
    KitChecked,
    MomentStamped,
    PersonLeft,
    VaccinatingResumed,
)
from thawline.observe.card_fold import CARD
from thawline.observe.emergency import GIVEN, STAMPS, Window, next_dose
from thawline.observe.kit import kit_findings, named, read_doses
from thawline.observe.kit_fold import KEY, KIT, is_short, looked_at, paused_since
from thawline.observe.leaving import Leave, leave
from thawline.observe.named_faints import Cards, faints_of
from thawline.observe.stay_fold import STAY, StayState
from thawline.person.fold import PERSON
from thawline.rules.chair import Anaphylaxis
from thawline.rules.protocol import Protocol, ProtocolRef

NOBODY = "not named"
"""Who pressed, when a locked tablet was used: the stamp counts all the same."""

LATELY = timedelta(hours=12)
"""So long after it, somebody's dose still belongs to the day in hand; our own choice."""

RESUME_REASONS = ("kit-complete", "person-there", "both", "other")
"""The known words for why vaccinating goes on; others are not kept. Decision 0102."""


def waiting(site: Site, now: Instant) -> list[Leave]:
    """Return who is in the observation area, the next to leave first, not known ones last."""
    with site.ledger.view() as view:
        return waiting_in(site, view, now)


def waiting_in(site: Site, view: View, now: Instant) -> list[Leave]:
    """Return the same from a view that is open already."""
    rules, cards = in_force_at(site, all_adopted(site, view)), list(view.all(CARD))
    since = _this_day_since(site, now)
    found = [
        _leave(site, rules, person, stay, cards)
        for person, stay in view.all(STAY)
        if any(dose.hi_ms >= since for dose in stay.here)
    ]
    far = max((each.may_leave for each in found if each.may_leave), default=now)
    return sorted(found, key=lambda each: (each.may_leave or far, each.person))


def _this_day_since(site: Site, now: Instant) -> int:
    """Return since when it was today, or so lately that midnight ends nothing for anybody."""
    midnight = midnight_before(local_date(now, site.zone), site.zone)
    return min(to_ms(midnight), to_ms(Instant(now - LATELY)) + 1)


def left_early(site: Site, now: Instant) -> list[tuple[str, Instant]]:
    """Return who left before their time this day: each gets a follow-up call."""
    since = _this_day_since(site, now)
    with site.ledger.view() as view:
        return [
            (person, from_ms(left.at_ms))
            for person, stay in view.all(STAY)
            for left in stay.left
            if left.early and left.at_ms >= since
        ]


def _leave(
    site: Site, rules: Callable[[Instant], Protocol], person: str, stay: StayState, cards: Cards
) -> Leave:
    """Return when a person may leave, each dose by the version in force when it was given."""
    doses = [(dose, rules(from_ms(dose.hi_ms)).observation) for dose in stay.here]
    return leave(person, doses, faints_of(person, stay, cards), site.zone)


def went(site: Site, doing: Doing, person: str) -> Outcome:
    """Record that a person left; early, or perhaps early, is a fact with a call to make."""

    def decide(view: View) -> Decision:
        stay = view.one(STAY, person)
        if stay is None or not stay.here:
            raise NotFoundError(
                f"{person} is not in the observation area", advice="thawline observe list"
            )
        rules = in_force_at(site, all_adopted(site, view))
        may = _leave(site, rules, person, stay, view.all(CARD))
        early = not may.may(doing.occurred.lo)
        until = None if may.may_leave is None else to_ms(may.may_leave)
        event = PersonLeft(person=person, early=early, stays_until_ms=until)
        return Decision(event, (*may.findings, *_early(site, may)) if early else ())

    command: dict[str, Plain] = {"command": "observe leave", "person": person}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _early(site: Site, may: Leave) -> tuple[Finding, ...]:
    until = (
        "nobody knows from when they may leave"
        if may.may_leave is None
        else f"they stay until {_clock(site, may.may_leave)}"
    )
    says = f"{may.person} left early: {until}. Call them; they are on the follow-up list."
    return (Finding(Level.ACT, "left-early", says, may.item),)


def _clock(site: Site, at: Instant) -> str:
    return local_time(at, site.zone).isoformat(timespec="minutes")


@dataclass(frozen=True, slots=True)
class Card:
    """The emergency card of the version in force."""

    card: Anaphylaxis
    protocol: ProtocolRef


def emergency_card(site: Site, at: Instant) -> Card:
    """
    Return the emergency card.

    Raises:
        RuleError: The protocol in force has none.
    """
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
    if rules.protocol.anaphylaxis is None:
        raise RuleError(
            f"protocol {rules.ref.id} version {rules.ref.version} has no emergency card",
            advice="treat by your standing orders; add [anaphylaxis.*] to the protocol",
        )
    return Card(rules.protocol.anaphylaxis, rules.ref)


def stamp(
    site: Site, doing: Doing, what: str, card: str = "", person: str | None = None
) -> tuple[Outcome, Window | None]:
    """
    Record a press, by anybody and about anybody; return the window of the next dose.

    Raises:
        RecordError: There is no such stamp.
    """
    if what not in STAMPS:
        raise RecordError(f"no stamp {what!r}", advice=f"one of {', '.join(STAMPS)}")
    pressed = replace(doing, by=doing.by.strip() or NOBODY)
    windows: list[Window] = []

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        known = rules.protocol.anaphylaxis
        if what == GIVEN and known is not None:
            windows.append(next_dose(doing.occurred, known.again, site.zone))
        times = (to_ms(windows[-1].opens), to_ms(windows[-1].closes)) if windows else None
        event = MomentStamped(what=what, card=card, person=person, dose_by_ms=times)
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {
        "command": "observe stamp",
        "what": what,
        "card": card,
        "person": person,
    }
    outcome = act(site, pressed, command, decide, kind=Kind.FACT)
    return outcome, windows[-1] if windows else _as_stamped(site, doing, outcome.event)


def _as_stamped(site: Site, doing: Doing, event: Event) -> Window | None:
    """Return the window as it was recorded, for a press that is sent once more."""
    if not isinstance(event, MomentStamped) or event.dose_by_ms is None:
        return None
    with site.ledger.view() as view:
        card = in_force(site, view, doing.at).protocol.anaphylaxis
    opens, closes = map(from_ms, event.dose_by_ms)
    return Window(opens, closes, card.again.item if card else "")


def name_card(site: Site, doing: Doing, card: str, person: str) -> Outcome:
    """Record whose emergency it was, afterwards."""

    def decide(view: View) -> Decision:
        if view.one(PERSON, person) is None:
            raise NotFoundError(f"no person {person!r} here", advice="thawline booking list")
        return Decision(CardNamed(card=card, person=person))

    command: dict[str, Plain] = {"command": "observe name", "card": card, "person": person}
    return act(site, doing, command, decide, kind=Kind.FACT)


def look_at_kit(site: Site, doing: Doing, typed: Sequence[str], able: Sequence[str]) -> Outcome:
    """Record what is in the kit and who can give it; too little pauses vaccinating."""
    doses, people = read_doses(typed), named(able)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        kit = _kit_rule(rules.protocol.anaphylaxis)
        event = KitChecked(doses=doses, able=people, least=kit.kit.least_doses)
        after = looked_at(view.one(KIT, KEY), event, doing.occurred, site.zone.key)
        found = kit_findings(after, doing.at, site.zone, kit.kit.item)
        return Decision(event, found, rules.ref)

    command: dict[str, Plain] = {
        "command": "observe kit",
        "doses": list(doses),
        "able": list(people),
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _kit_rule(card: Anaphylaxis | None) -> Anaphylaxis:
    if card is None:
        raise RuleError(
            "the protocol in force has no [anaphylaxis.kit]",
            advice="add it: nobody could say how many doses are enough",
        )
    return card


def kit_now(site: Site, view: View, at: Instant) -> tuple[Finding, ...]:
    """Return what the kit says to a dose; nothing where the protocol has no kit."""
    card = in_force(site, view, at).protocol.anaphylaxis
    if card is None:
        return ()
    return kit_findings(view.one(KIT, KEY), at, site.zone, card.kit.item)


def resume(site: Site, doing: Doing, pin: str | None) -> Outcome:
    """
    Record that the clinical lead lets vaccinating go on.

    Raises:
        SecondPersonError: It is not the clinical lead's own PIN.
        UnsaidError: No reason is given.
        RefusedError: The kit is still short, or nothing is paused.
    """
    word = doing.why.strip().casefold()
    if not word:
        raise UnsaidError(
            "no reason is given", advice=f"add --why, one of {', '.join(RESUME_REASONS)}"
        )
    refuse_others(site, doing.by, pin, "vaccinating is resumed")

    def decide(view: View) -> Decision:
        kit = view.one(KIT, KEY)
        since = paused_since(kit, doing.at)
        if kit is None or since is None:
            raise RefusedError([_stop("not-paused", "Vaccinating is not paused.")])
        if since > doing.at:
            says = (
                f"Vaccinating is paused since {_clock(site, since)}, which is later than that."
            )
            raise RefusedError([_stop("paused-later", says)])
        if is_short(kit, doing.at):
            says = "The kit is still short: fill it, then thawline observe kit."
            raise RefusedError([_stop("kit-short", says)])
        event: Event = VaccinatingResumed(why=word if word in RESUME_REASONS else "other")
        return Decision(event, (), in_force(site, view, doing.at).ref)

    return act(site, doing, {"command": "observe resume"}, decide)


def _stop(code: str, says: str) -> Finding:
    return Finding(Level.STOP, code, says)
