"""
What a command answers, and how it is printed: text for people, one JSON object for machines.

The envelope is a stable contract: `ok`, `data`, `alerts`, `not_known`, `protocol` and, when
the exit code is not 0, `error`. What is not known is null and listed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from thawline.base.errors import ProbablyFahrenheitError, RefusedError, ThawlineError
from thawline.base.findings import Finding, Level, worst_first
from thawline.cli.text import wrapped
from thawline.rules.protocol import ProtocolRef

BARS = {Level.STOP: "|||", Level.ACT: "||", Level.CHECK: "|"}

EXIT_CODES = {
    "failed": 70,
    "rule-file": 3,
    "unknown-clock": 3,
    "record": 3,
    "usage": 2,
    "naive-time": 3,
    "unknown-zone": 3,
    "local-time": 3,
    "exchange": 3,
    "probably-fahrenheit": 3,
    "not-plain": 3,
    "reused-id": 4,
    "refused": 4,
    "not-found": 5,
    "busy": 6,
    "second-person": 7,
    "not-known-whether-recorded": 8,
}


@dataclass(frozen=True, slots=True)
class Answer:
    """
    A command's result.

    Args:
        data: JSON-ready values, keys with units.
        text: What a person reads, without the alerts.
        alerts: Findings to show; any stop or act makes the exit code 1.
        not_known: Names of what is null in `data` because nobody knows.
        protocol: The rules that were used, None where none were.
        found: Overrides whether the answer counts as having findings (exit 1).
        csv: Rows for `--csv`, the first one the header; None where there is no table.
    """

    data: Any
    text: str
    alerts: Sequence[Finding] = ()
    not_known: Sequence[str] = ()
    protocol: ProtocolRef | None = None
    found: bool | None = None
    csv: Sequence[Sequence[object]] | None = field(default=None, repr=False)

    @property
    def exit_code(self) -> int:
        """Return 1 when something was found that somebody must answer, else 0."""
        worrying = any(alert.level is not Level.CHECK for alert in self.alerts)
        return int(worrying if self.found is None else self.found)


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why there is no answer: a code, a sentence, what to try, and the refusals if any."""

    exit_code: int
    code: str
    says: str
    advice: str = ""
    alerts: Sequence[Finding] = ()


def trouble(error: ThawlineError) -> Trouble:
    """Return the trouble a raised exception stands for."""
    if isinstance(error, RefusedError | ProbablyFahrenheitError):
        alerts = worst_first(error.findings)
    else:
        alerts = ()
    return Trouble(EXIT_CODES[error.code], error.code, error.says, error.advice, alerts)


def envelope(answer: Answer) -> dict[str, Any]:
    """Return the JSON object of an answer."""
    whole = {
        "ok": answer.exit_code == 0,
        "data": answer.data,
        "alerts": [alert_values(alert) for alert in answer.alerts],
        "not_known": list(answer.not_known),
        "protocol": _protocol(answer.protocol),
    }
    if answer.exit_code:
        says = "; ".join(alert.says for alert in answer.alerts) or "something was found"
        whole["error"] = {"code": "findings", "says": says, "try": ""}
    return whole


def trouble_envelope(what: Trouble) -> dict[str, Any]:
    """Return the JSON object of a trouble."""
    return {
        "ok": False,
        "data": None,
        "alerts": [alert_values(alert) for alert in what.alerts],
        "not_known": [],
        "protocol": None,
        "error": {"code": what.code, "says": what.says, "try": what.advice},
    }


def alert_lines(alerts: Sequence[Finding]) -> list[str]:
    """Return one paragraph an alert, bars and level first, the protocol item last."""
    return [
        wrapped(
            f"{BARS[alert.level]} {alert.level.capitalize()}: {alert.says}"
            + (f" (item {alert.item})" if alert.item else ""),
            indent=4,
        )
        for alert in alerts
    ]


def alert_values(alert: Finding) -> Mapping[str, str | None]:
    """Return the JSON form of an alert."""
    return {
        "level": alert.level.value,
        "item": alert.item,
        "code": alert.code,
        "says": alert.says,
    }


def _protocol(ref: ProtocolRef | None) -> Mapping[str, Any] | None:
    if ref is None:
        return None
    return {"id": ref.id, "version": ref.version, "sha256": ref.sha256}
