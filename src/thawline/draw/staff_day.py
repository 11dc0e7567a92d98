"""The page of a staffed day: the wait fan above, the doses against plan below."""

from math import ceil

from thawline.draw import doses_ahead, fan
from thawline.draw.doses_ahead import DosesAhead, doses_body
from thawline.draw.fan import Fan, fan_body
from thawline.draw.svg import Box, Said, document

_WIDTH, _HEIGHT, _MARGIN = 960.0, 430.0, 28.0


def staff_day_svg(waits: Fan, doses: DosesAhead) -> str:
    """Return both pictures on one page."""
    above = Box(_MARGIN, _MARGIN, _WIDTH - _MARGIN, _HEIGHT)
    below = Box(_MARGIN, _HEIGHT + _MARGIN, _WIDTH - _MARGIN, 2 * _HEIGHT)
    said = Said("staff-day", f"{waits.title}; {doses.title}", _described(waits, doses))
    body = (*fan_body(waits, above), *doses_body(doses, below))
    return document((_WIDTH, 2 * _HEIGHT + _MARGIN), said, body)


def _described(waits: Fan, doses: DosesAhead) -> str:
    """Return everything that both show, for those who do not see it."""
    longest = "; ".join(
        f"from {waits.ends[half]} half wait less than {row[3]:.0f} min, 9 in 10 less than "
        f"{ceil(row[5])} min"
        for half, row in enumerate(waits.waits_min)
        if row is not None
    )
    given = "; ".join(
        f"by {end} {planned:,.0f} expected, {low:,.0f} to {high:,.0f} given"
        for end, planned, (low, _, high) in zip(
            doses.ends[1:], doses.planned, doses.given, strict=True
        )
    )
    return (
        f"The promise: {waits.share:.0%} wait less than {waits.promise_min:g} min. "
        f"{fan.in_words(waits)}. {longest}. {doses_ahead.in_words(doses)}. {given}. "
        f"{waits.says}"
    )
