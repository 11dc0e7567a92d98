"""`thawline reaction`: notes and reports, and exact figures; the calculators record nothing."""

import re
from typing import Any

from cyclopts import App

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.report.intervals import LEVEL, rate_of
from thawline.report.plainly import FEW, USUAL_ALPHA, compared_words
from thawline.report.sequential import (
    Plan,
    chance_of_signal,
    critical_value,
    log_likelihood_ratio,
)
from thawline.report.two_groups import Compared, Group, compared

app = App(name="reaction", help="Reactions: notes, reports, seen against expected, rates.")
app.command("thawline.cli.reaction_notes:note", name="note")
app.command("thawline.cli.reaction_counts:count", name="count")
app.command("thawline.cli.reaction_notes:report", name="report")

_PAIR = re.compile(r"(\d{1,9})/(\d{1,12})", re.ASCII)


@app.command
def rate(*, cases: int, doses: int, per: int = 1_000_000) -> Answer:
    """
    Say how often something was seen, with its exact range; records nothing.

    thawline reaction rate --cases 21 --doses 1893360
    thawline reaction rate --cases 29 --doses 3901 --per 1000

    Parameters
    ----------
    cases
        People who had it.
    doses
        Doses given to the people who were watched for it.
    per
        The rate is per so many doses.
    """
    found = rate_of(cases, doses, per)
    return Answer(
        data={
            "rate": found.rate,
            "lower": found.lower,
            "upper": found.upper,
            "per": found.per,
            "cases": cases,
            "doses": doses,
            "level": LEVEL,
        },
        text=(
            f"{found.rate:.3g} per {per:,} doses; 19 times in 20 a range found so holds the "
            f"true rate: {found.lower:.3g} to {found.upper:.3g}."
        ),
    )


@app.command
def signal(
    *,
    expected: float,
    seen: int,
    horizon: float,
    min_cases: int = 1,
    alpha: float = USUAL_ALPHA,
) -> Answer:
    """
    Say whether a count that is watched all along is a signal; records nothing.

    thawline reaction signal --expected 2.5 --seen 6 --horizon 10
    thawline reaction signal --expected 0.8 --seen 1 --horizon 5 --min-cases 4

    The critical value is exact for looking at every case as it comes, until as many as the
    horizon were expected. It was to be laid down before the first dose.

    Parameters
    ----------
    expected
        Cases expected so far: doses given times the stated rate.
    seen
        Cases seen so far.
    horizon
        Cases expected when watching ends.
    min_cases
        Fewer cases than this are never a signal.
    alpha
        The chance of a signal by chance alone that was accepted.
    """
    if not 0 < expected <= horizon:
        raise RecordError(
            f"expected {expected} of a horizon of {horizon}",
            advice="above 0, up to the horizon",
        )
    if seen < 0:
        raise RecordError(f"fewer than none seen: {seen}", advice="count from 0")
    plan = Plan(horizon, min_cases, alpha)
    critical = critical_value(plan)
    ratio = log_likelihood_ratio(seen, expected)
    found = seen >= min_cases and ratio >= critical
    says = f"{seen} seen, {expected:g} expected: ratio {ratio:.3f}, critical {critical:.3f}"
    alerts = [Finding(Level.ACT, "signal", "a signal: look into it, and tell who must know")]
    return Answer(
        data={
            "llr": ratio,
            "critical": critical,
            "signal": found,
            "attained_alpha": chance_of_signal(plan, critical),
        },
        text=f"{says}: {'a signal' if found else f'no signal; {FEW}'}.",
        alerts=alerts if found else (),
    )


@app.command
def compare(*, lot: str, rest: str, alpha: float = USUAL_ALPHA) -> Answer:
    """
    Say whether a lot stands out against the rest; records nothing.

    thawline reaction compare --lot 7/5000 --rest 5/15000
    thawline reaction compare --lot 1/900 --rest 3/8700

    Parameters
    ----------
    lot
        Cases and doses of the lot, as 7/5000.
    rest
        Cases and doses of all the others.
    alpha
        A one-sided chance below this is worth a look; with many lots it must be shared.
    """
    found = compared(_group("--lot", lot), _group("--rest", rest))
    says = compared_words(found, alpha)
    worth = found.p_one_sided is not None and found.p_one_sided < alpha
    alerts = [Finding(Level.ACT, "stands-out", "the lot stands out: look into it, and tell")]
    return Answer(
        data=_values(found),
        text=f"The lot: {says}.",
        alerts=alerts if worth else (),
        not_known=[name for name, value in _values(found).items() if value is None],
    )


def _values(found: Compared) -> dict[str, Any]:
    return {
        "p_one_sided": found.p_one_sided,
        "p_mid": found.p_mid,
        "rate_ratio": found.rate_ratio,
        "lower": found.lower,
        "upper": found.upper,
    }


def _group(option: str, text: str) -> Group:
    if match := _PAIR.fullmatch(text.strip()):
        return Group(int(match[1]), int(match[2]))
    raise RecordError(
        f"{option} {text!r}: not cases and doses", advice=f"as in {option} 7/5000"
    )
