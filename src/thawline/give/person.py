"""What may be wrong with giving this person a dose today, whichever dose it is."""

from collections.abc import Iterator

from thawline.base.findings import Level
from thawline.base.instants import local_date
from thawline.give.breach import Breach
from thawline.give.facts import ChairFacts, PersonFacts, ToCome
from thawline.give.right_person import right_person_breaches
from thawline.rules.protocol import SecondDose

_GIVE = "give"


def person_breaches(
    person: PersonFacts, chair: ChairFacts, rule: SecondDose
) -> Iterator[Breach]:
    """Yield what is wrong about the person: unknown, the series of doses, the screening."""
    if not person.known:
        yield Breach(
            Level.STOP,
            "person-not-known",
            f"No person {person.code!r} is on record here.",
            "Scan the card again, or register the person at the front desk.",
        )
    yield from right_person_breaches(person)
    yield from _interval(person, chair, rule)
    yield from _number(person, rule)
    yield from _screening(person)
    if person.needs:
        yield Breach(Level.CHECK, "needs-help", f"Help needed: {person.needs}.")
    for item, says in person.advice:
        yield Breach(Level.CHECK, "screening-advice", f"From the screening: {says}", item=item)


def _interval(person: PersonFacts, chair: ChairFacts, rule: SecondDose) -> Iterator[Breach]:
    today = local_date(chair.since or chair.now, chair.zone)
    if person.undated:
        yield Breach(
            Level.STOP,
            "first-dose-undated",
            "A dose told from a card has no date that can be read.",
            "Type its date from the card before anything is given.",
            rule.item,
        )
    if later := [day for day in person.doses_on if day > today]:
        yield Breach(
            Level.STOP,
            "dose-dated-later",
            f"A dose on {min(later).isoformat()} is on record, after {today.isoformat()}: one "
            "of the two dates is wrong.",
            "Look at the card, and correct the one that is wrong.",
            rule.item,
        )
    if today in person.doses_on:
        yield Breach(
            Level.STOP,
            "dose-today",
            f"A dose is on record for today, {today.isoformat()}.",
            "Give none; ask the clinical lead.",
            rule.item,
        )
    if person.to_come is not None and today < person.to_come.not_before:
        days = (person.to_come.not_before - today).days
        yield Breach(
            Level.STOP,
            "too-early",
            _too_early(person.to_come, days, (today - person.to_come.counted_from).days),
            "Give none today. Book a place from that day on.",
            rule.item,
        )


def _too_early(to_come: ToCome, days_before: int, day: int) -> str:
    days = f"{days_before} day{'s' if days_before > 1 else ''}"
    due = to_come.not_before.isoformat()
    return f"The second dose is due on or after {due}; today, day {day}, is {days} before."


def _number(person: PersonFacts, rule: SecondDose) -> Iterator[Breach]:
    had = len(person.doses_on)
    due = 2 if had else 1
    if had > 1 and person.to_come is None:
        yield Breach(
            Level.STOP,
            "already-two-doses",
            f"{had} doses are on record, the last on {max(person.doses_on).isoformat()}.",
            "Give no further dose; ask the clinical lead.",
            rule.item,
        )
    elif person.dose_number > due == 1 and not person.undated:
        yield Breach(
            Level.STOP,
            "first-dose-not-known",
            f"Dose {person.dose_number} was asked for, and no dose is on record.",
            "Type the first dose from the card, or give dose 1.",
            rule.item,
        )
    elif person.dose_number != due and not person.undated:
        yield Breach(
            Level.CHECK,
            "dose-number-differs",
            f"Dose {person.dose_number} was asked for; by the record it is dose {due}.",
            "Look at the card.",
            rule.item,
        )


def _screening(person: PersonFacts) -> Iterator[Breach]:
    if person.screening is None:
        yield Breach(
            Level.STOP,
            "not-screened",
            f"{person.code} has no screening of today.",
            "Ask the screening questions, or name who did and with which outcome.",
        )
    elif person.screening.partition("-")[0] != _GIVE:
        yield Breach(
            Level.STOP,
            "screened-not-to-give",
            f"The screening of {person.code} ended with {person.screening!r}.",
            "Give none here; the clinical lead will explain.",
        )
