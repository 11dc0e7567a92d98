"""
Whether a local rule asks for a report; what it does not ask for is an excursion all the same.

The time is the conservative one: every step with an end outside. Below a local threshold the
vials are held just as they are above it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

import numpy as np

from thawline.rules.cold import Reporting, Side
from thawline.store.bounds import Flags, Steps, steps, worst_and_mildest
from thawline.store.lasting import Lasted, in_one_go, most_within
from thawline.store.limits import Limits
from thawline.store.tidy import Tidy

_MS = timedelta(milliseconds=1)


class Asked(StrEnum):
    """What a local rule asks of the site."""

    REPORT = "report"
    NOTHING = "nothing"
    NOT_KNOWN = "not-known"  # with what may have been in the gaps it could ask for a report


@dataclass(frozen=True, slots=True)
class ReportAnswer:
    """
    One local rule looked at over a record; it never un-marks an excursion.

    Args:
        name: Of the rule in the protocol.
        rule: Itself, with item, band and source.
        asked: What it asks.
        lasted_ms: The conservative time out, in one go or within the rule's time.
        at_most_ms: The same, had every gap been out too.
        reached_at_ms: The reading at which the threshold was reached; None unless it was.
    """

    name: str
    rule: Reporting
    asked: Asked
    lasted_ms: int
    at_most_ms: int
    reached_at_ms: int | None


def report_answers(
    tidy: Tidy, rules: Mapping[str, Reporting], bands: Mapping[str, Limits]
) -> tuple[ReportAnswer, ...]:
    """
    Return what each local rule asks, in the protocol's order.

    Args:
        tidy: The record in order.
        rules: Those for the unit that the record is of.
        bands: The ends of each band that the rules name.
    """
    return tuple(_answer(tidy, name, rule, bands[rule.band]) for name, rule in rules.items())


def _answer(tidy: Tidy, name: str, rule: Reporting, limits: Limits) -> ReportAnswer:
    out, found = _out(tidy, rule, limits)
    seen = (out[:-1] | out[1:]) & ~found.gap
    lasted = _lasted(found, seen, out, rule)
    at_most = _lasted(found, seen | found.gap, out, rule)
    asked = _asked(lasted, at_most, rule, any_out=bool(out.any()))
    return ReportAnswer(
        name=name,
        rule=rule,
        asked=asked,
        lasted_ms=lasted.ms,
        at_most_ms=at_most.ms,
        reached_at_ms=lasted.until_ms if asked is Asked.REPORT else None,
    )


def _out(tidy: Tidy, rule: Reporting, limits: Limits) -> tuple[Flags, Steps]:
    """Return which instants are out on the rule's side, and the steps between them."""
    sides = {
        Side.ABOVE: (limits.above,),
        Side.BELOW: (limits.below,),
        Side.OUTSIDE: (limits.above, limits.below),
    }[rule.side]
    flags = [limit.is_beyond(worst_and_mildest(tidy.settled, limit.side)[0]) for limit in sides]
    return np.logical_or.reduce(flags), steps(tidy.settled, tidy.interval_ms, sides[0], 0)


def _lasted(found: Steps, counted: Flags, out: Flags, rule: Reporting) -> Lasted:
    enough = rule.lasts.longest() // _MS
    if rule.within is None:
        return in_one_go(found, counted, out, enough)
    return most_within(found, counted, rule.within.longest() // _MS, enough)


def _asked(lasted: Lasted, at_most: Lasted, rule: Reporting, *, any_out: bool) -> Asked:
    enough = rule.lasts.longest() // _MS
    if any_out and lasted.ms >= enough:
        return Asked.REPORT
    could = (any_out or at_most.ms > 0) and at_most.ms >= enough
    return Asked.NOT_KNOWN if could else Asked.NOTHING
