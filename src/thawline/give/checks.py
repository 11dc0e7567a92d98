"""
What the rules say about a dose: all of it, before the needle and after it.

Before, a stop refuses the dose. After, the dose is a fact, and the same breaches say what to
do about it. A different lot for the second dose is normal and says nothing. Decision 0033.
"""

from collections.abc import Iterable, Iterator

from thawline.base.findings import Finding, Level, worst_first
from thawline.give.breach import Breach
from thawline.give.facts import ChairFacts, DoseFacts, PersonFacts
from thawline.give.in_hand import clock_time, dose_breaches, time_findings, vial_findings
from thawline.give.person import person_breaches
from thawline.give.right_person import NOT_KNOWN
from thawline.rules.protocol import SecondDose

_BEFORE_ONLY = frozenset({"too-early", "needs-help", "screening-advice"})


def dose_findings(
    person: PersonFacts, dose: DoseFacts, chair: ChairFacts, rule: SecondDose
) -> tuple[Finding, ...]:
    """Return everything the rules say before the needle, worst first; any stop refuses it."""
    breaches = [
        *person_breaches(person, chair, rule),
        *dose_breaches(dose, chair),
        *_unanswered(chair),
    ]
    said = [breach.before() for breach in breaches]
    of_vial = vial_findings(dose, _codes(said))
    return worst_first([*said, *of_vial, *time_findings(dose, chair)])


def given_findings(
    person: PersonFacts,
    dose: DoseFacts,
    chair: ChairFacts,
    rule: SecondDose,
    interval: Iterable[Finding],
) -> tuple[Finding, ...]:
    """
    Return everything the rules say about a dose that was given, worst first.

    Args:
        person: As it was before the dose.
        dose: As it was before the dose.
        chair: With the time of the needle as `now`.
        rule: In force on that day.
        interval: What the dose was judged as by its interval, in place of the booking rule.
    """
    breaches = [*person_breaches(person, chair, rule), *dose_breaches(dose, chair)]
    said = [breach.after() for breach in breaches if not _before_only(breach)]
    of_vial = vial_findings(dose, _codes(said))
    return worst_first([*said, *of_vial, *time_findings(dose, chair), *interval])


def _before_only(breach: Breach) -> bool:
    """Say whether a breach is worth nothing once the dose was given."""
    noted = breach.code in NOT_KNOWN and breach.level is Level.CHECK
    return noted or breach.code in _BEFORE_ONLY


def _codes(findings: Iterable[Finding]) -> set[str]:
    return {finding.code for finding in findings}


def _unanswered(chair: ChairFacts) -> Iterator[Breach]:
    where = f" at {chair.station}" if chair.station else ""
    for check in chair.unanswered:
        when = clock_time(check.at, chair)
        yield Breach(
            Level.ACT,
            "dose-not-recorded",
            f"Nothing is recorded for {check.person}, checked {when}{where}.",
            "Record the dose, or that none was given, before the person leaves.",
        )
