"""
Every exception thawline raises on purpose.

* ThawlineError
  + RuleError             the protocol file itself is wrong or incomplete
    - UnknownClockError
  + RecordError           a record contradicts the ledger, or cannot be read as a fact
    - NaiveTimeError
    - UnknownZoneError
    - LocalTimeError      a local time that does not exist or exists twice
    - UnsaidError         something that the act needs was left out: who, why, how many
  + NotFoundError         no such vial, syringe, person, lot or file here
  + RefusedError          the rules forbid the act that was asked for
    - SecondPersonError   the act needs a second person's own entry
  + ReusedIdError         an id that already stands for another act
  + BusyError             somebody else is writing, or the site may only be read now
  + IndeterminateError    an I/O error: it is not known whether the act was recorded
  + ExchangeError         a message or file cannot be read or written
    - NotPlainError       a long file that cannot be read in bulk
    - ProbablyFahrenheitError  temperatures read as °C that must be °F
"""

from collections.abc import Sequence

from thawline.base.findings import Finding


class ThawlineError(Exception):
    """
    Something a person on duty can read and act on.

    Args:
        says: What is wrong and with which value; lower case, no full stop.
        advice: What to do next, as a command or a sentence; empty where there is nothing.
    """

    code = "failed"

    def __init__(self, says: str, *, advice: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.advice = advice


class RuleError(ThawlineError):
    """The protocol file cannot be right; carries the line it was found on."""

    code = "rule-file"

    def __init__(
        self, says: str, *, line: int | None = None, key: str = "", advice: str = ""
    ) -> None:
        place = "" if line is None else f"line {line}: "
        super().__init__(f"{place}{says}", advice=advice)
        self.line = line
        self.key = key


class UnknownClockError(RuleError):
    """A clock is named that the protocol sets no limit for."""

    code = "unknown-clock"


class RecordError(ThawlineError):
    """A record contradicts the ledger or cannot be read as a fact."""

    code = "record"


class NaiveTimeError(RecordError):
    """A time without an offset from UTC."""

    code = "naive-time"


class UnknownZoneError(RecordError):
    """A time zone that the machine's zone data does not know."""

    code = "unknown-zone"


class LocalTimeError(RecordError):
    """A local time that the clocks skip, or show twice, that night."""

    code = "local-time"


class UnsaidError(RecordError):
    """Something that the command needs was left out; the advice names the option."""

    code = "usage"


class NotFoundError(ThawlineError):
    """There is no such thing here; says what was looked for."""

    code = "not-found"


class RefusedError(ThawlineError):
    """The rules forbid the act; carries every finding, worst first."""

    code = "refused"

    def __init__(self, findings: Sequence[Finding], *, advice: str = "") -> None:
        super().__init__("; ".join(finding.says for finding in findings), advice=advice)
        self.findings = tuple(findings)


class SecondPersonError(RefusedError):
    """The act needs a second person, by their own entry."""

    code = "second-person"


class ReusedIdError(ThawlineError):
    """The id of this act already stands for another act with other words."""

    code = "reused-id"


class BusyError(ThawlineError):
    """The site cannot be written now; nothing was recorded."""

    code = "busy"


class IndeterminateError(ThawlineError):
    """It is not known whether the act was recorded; repeat it with the same id."""

    code = "not-known-whether-recorded"


class ExchangeError(ThawlineError):
    """A message or file cannot be read or written."""

    code = "exchange"


class NotPlainError(ExchangeError):
    """A long file is written otherwise than it can be read in bulk."""

    code = "not-plain"


class ProbablyFahrenheitError(ExchangeError):
    """Temperatures that were read as °C and must be °F; carries the stop."""

    code = "probably-fahrenheit"

    def __init__(self, finding: Finding, *, advice: str) -> None:
        super().__init__(finding.says, advice=advice)
        self.findings = (finding,)
