"""A chair at noon on a Tuesday with a dose and a person that nothing is wrong with."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from thawline.base.durations import read_allowance
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, instant
from thawline.give.checks import dose_findings
from thawline.give.facts import ChairFacts, DoseFacts, PersonFacts
from thawline.person.desk import Compared, Consent
from thawline.rules.protocol import SecondDose

CHICAGO = ZoneInfo("America/Chicago")
TODAY = date(2026, 3, 3)
NOON = instant(datetime(2026, 3, 3, 18, tzinfo=UTC))
RULE = SecondDose(
    item="B1",
    earliest=read_allowance("P28D"),
    grace_for_judging=read_allowance("P4D"),
    late_after=read_allowance("P42D"),
    source="demo",
)
PERSON = PersonFacts(
    code="DEMO-004217",
    known=True,
    dose_number=1,
    screening="give-15",
    compared=Compared.AGREES,
    consent=Consent.YES,
)
DOSE = DoseFacts(
    code="HK47M-07",
    known=True,
    vial="HK47M",
    lot="ZZ-1041",
    use_by=Instant(NOON + timedelta(hours=2)),
    use_by_item="C4",
    opened=Instant(NOON - timedelta(hours=4)),
)
CHAIR = ChairFacts(now=NOON, zone=CHICAGO, station="chair 3", lots=("ZZ-1041",))


def found(person: PersonFacts = PERSON, dose: DoseFacts = DOSE, chair: ChairFacts = CHAIR):
    return dose_findings(person, dose, chair, RULE)


def said(code: str, **changed: Any) -> tuple[Level, str, str | None]:
    """Return the one finding of that code as level, sentence and item."""
    (one,) = [each for each in found(**changed) if each.code == code]
    return one.level, one.says, one.item


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in findings]


def person(**changed: Any) -> PersonFacts:
    return replace(PERSON, **changed)


def dose(**changed: Any) -> DoseFacts:
    return replace(DOSE, **changed)


def chair(**changed: Any) -> ChairFacts:
    return replace(CHAIR, **changed)
