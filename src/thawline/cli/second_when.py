"""`thawline second when`: the dates of a second dose, reckoned from nothing but a day."""

from datetime import date

from thawline.app import calculators
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.reading import rules_for


def when(
    *,
    first: str,
    given: str | None = None,
    on: str | None = None,
    protocol: str | None = None,
) -> Answer:
    """
    Say when a second dose may be booked, and what one given on a day counts as.

    thawline second when --first 2026-02-03
    thawline second when --first 2021-01-01 --given 2021-01-21 --protocol published-2021-12

    Days are calendar dates; the day of the first dose is day 0. Records nothing.

    Parameters
    ----------
    first
        The date of the first dose.
    given
        The date on which the second dose was given.
    on
        The date that is asked about.
    protocol
        A protocol id or file. Left out, it is the published guidance in force at --on, else
        --given, else --first.
    """
    days = read_date(first), _date(given), _date(on)
    rules = rules_for(protocol, calculators.asked_at(*days))
    found = calculators.second_when(*days, rules.protocol.schedule.dose_2)
    judgement, dates = found.judgement, found.dates
    repeat = judgement.repeat_not_before if judgement else None
    return Answer(
        data={
            "earliest_valid": dates.earliest_valid.isoformat(),
            "earliest_bookable": dates.earliest_bookable.isoformat(),
            "due": dates.due.isoformat(),
            "late_after": dates.late_after.isoformat(),
            "verdict": judgement.verdict.value if judgement else None,
            "says": found.says,
            "repeat_not_before": repeat.isoformat() if repeat else None,
        },
        text=found.says,
        alerts=judgement.findings if judgement else (),
        protocol=rules.ref,
    )


def _date(text: str | None) -> date | None:
    return None if text is None else read_date(text)
