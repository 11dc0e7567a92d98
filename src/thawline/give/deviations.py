"""
What to do after an error with a dose, by the table of the version in force on that day.

What the table does not say is not made up: the clinical lead is asked. Nothing here decides
for a licensed person, and nothing here sends a report.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.quantities import Microlitres
from thawline.rules.chair import Deviation, Repeat, What
from thawline.rules.protocol import SecondDose

_HALVES = frozenset({What.MORE_THAN_HALF, What.LESS_THAN_HALF})
_NOT_SAID = "Whether to repeat is not said: ask the clinical lead before anything is repeated."


@dataclass(frozen=True, slots=True)
class Guidance:
    """What the table says: repeat or not, not before which day, and whom to tell."""

    what: What
    repeat: Repeat | None  # None: the table does not say
    not_before: date | None
    says: str
    tell: str
    item: str | None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What somebody must answer."""
        code = "error-to-report" if self.item else "ask-clinical-lead"
        return (Finding(Level.ACT, code, f"{self.says} {self.tell}".strip(), self.item),)


def by_volume(given: Microlitres | None, dose: Microlitres) -> What:
    """
    Return the error that a volume is; exactly half is neither more nor less than half.

    An amount that nobody knows counts as less than half, as the early table says.

    Raises:
        RecordError: It is the whole dose.
    """
    if given is None:
        return What.LESS_THAN_HALF
    if given == dose:
        raise RecordError(f"{given} microlitres is the dose", advice="nothing is to be done")
    if given > dose:
        return What.TOO_MUCH
    if given + given == dose:
        return What.TOO_LITTLE
    return What.MORE_THAN_HALF if given + given > dose else What.LESS_THAN_HALF


def guidance(
    what: What, given_on: date, table: Sequence[Deviation], rule: SecondDose
) -> Guidance:
    """
    Return what the table of the day says to an error with the dose of that day.

    Args:
        what: The error.
        given_on: The local day of the dose.
        table: [[deviations]] of the version in force then.
        rule: [schedule.dose_2] of the same version.
    """
    row = _row(what, table)
    every = _row(What.EVERY, table)
    tell = every.says.en if every else "Tell the person and the clinical lead, and report it."
    if row is None:
        return Guidance(what, None, None, _NOT_SAID, tell, None)
    not_before = _not_before(row, given_on, rule)
    repeat, again = row.repeat, ""
    if repeat is Repeat.BY_SCHEDULE:
        repeat = Repeat.NO if not_before is None else repeat
        again = f"Repeat, not before {not_before}." if not_before else "Do not repeat."
    says = f"{row.says.en} {again or ('' if repeat else _NOT_SAID)}".strip()
    return Guidance(what, repeat, not_before, says, tell, row.item)


def _row(what: What, table: Iterable[Deviation]) -> Deviation | None:
    rows = {row.what: row for row in table}
    if what in _HALVES and what not in rows:
        return rows.get(What.TOO_LITTLE)
    return rows.get(what)


def _not_before(row: Deviation, given_on: date, rule: SecondDose) -> date | None:
    if row.repeat is Repeat.AT_ONCE:
        return given_on
    if row.repeat is Repeat.BY_SCHEDULE and rule.repeat_when_too_early and rule.repeat_after:
        return given_on + timedelta(days=rule.repeat_after.days)
    return None


def report_draft(found: Guidance, given_on: date, version: str) -> tuple[str, ...]:
    """Return the lines of a report draft; what is not known stays blank."""
    again = "not said, ask" if found.repeat is None else found.says
    return (
        "ADMINISTRATION ERROR - DRAFT, not sent to anybody",
        f"What: {found.what.value}",
        f"Day of the dose: {given_on.isoformat()}",
        f"Judged by: {version}, item {found.item or '?'}",
        f"Repeat: {again}",
        f"To do: {found.tell}",
        "Person's code: ____________  Lot: ____________  Given by: ____________",
        "How it happened: ______________________________________________",
        "Harm seen: ____________  Person told by, when: ____________",
        "Licensed practice and the programme's own rules decide.",
    )
