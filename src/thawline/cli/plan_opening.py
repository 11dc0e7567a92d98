"""`thawline plan opening`: open another vial, let people wait, or ask them to come back."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
from scipy.stats import binom, poisson

from thawline.base.errors import RecordError
from thawline.cli.amounts import walk_ups_of
from thawline.cli.answers import Answer
from thawline.cli.opening_options import Ahead, Here
from thawline.cli.opening_page import (
    policy_data,
    policy_text,
    steps_of,
    table_data,
    table_text,
)
from thawline.cli.reading import rules_for
from thawline.plan.opened_waste import check_staffed
from thawline.plan.opening import OpeningDay, Prices, policy
from thawline.plan.opening_kernel import Numbers
from thawline.rules.protocol import Protocol, Starts

_MINUTES = 60
_RARE = 1e-10  # more walk-ups in a slot than this chance are counted as the last number


BY_RECORD, HERE = Ahead(), Here()


def opening(
    *,
    person_price: float,
    ahead: Ahead = BY_RECORD,
    here: Here = HERE,
    wait_price: float = 0.5,
    wait_most_min: int = 20,
    protocol: str | None = None,
) -> Answer:
    """
    Say when to open another vial, for how many, and what it costs; records nothing.

    thawline plan opening --site oddmoor --at 16:52 --person-price 5
    thawline plan opening --booked 24 --no-show 0.15 --hours 10 --person-price 3

    At a site the record says who is still to come, what is in hand and who is on the standby
    list; in the last two hours each choice is priced, with 20 equally likely days as dots.
    One shared draw table. Without a site the bookings are spread evenly over the hours.

    Parameters
    ----------
    person_price
        What asking one person to come back costs, in doses: the site lead's judgement.
    wait_price
        What one person waiting for a slot costs, in doses; at a site, for ten minutes.
    wait_most_min
        The longest that somebody may be asked to wait; 0: nobody waits.
    protocol
        A protocol id or file; left out, the newest published guidance. A site has its own.
    """
    if ahead.booked is None:
        from thawline.cli.plan_last_vial import at_site  # noqa: PLC0415  brings the ledger

        if (ahead.hours, ahead.together, protocol) != (None,) * 3 or ahead.standby:
            raise RecordError(
                "--hours, --together, --standby and --protocol go with --booked",
                advice="leave them out, or say --booked and --no-show",
            )
        return at_site(here, ahead, person_price, wait_price, timedelta(minutes=wait_most_min))
    if here != HERE:
        raise RecordError(
            "--site, --at, --close, --waiting and --svg ask about a site",
            advice="leave --booked out, or leave these out",
        )
    return _calculated(ahead, person_price, wait_price, wait_most_min, protocol)


def _calculated(
    ahead: Ahead,
    person_price: float,
    wait_price: float,
    wait_most_min: int,
    protocol: str | None,
) -> Answer:
    rules = rules_for(protocol, None)
    if ahead.booked is None or ahead.no_show is None or ahead.hours is None:
        raise RecordError(
            "not all is said of the hours that are left",
            advice="add --booked, --no-show and --hours",
        )
    check_staffed(ahead.tables, ahead.preparers)
    per_vial = rules.protocol.product.doses_per_vial.value
    day = OpeningDay(
        arrivals=_arrivals(ahead, ahead.booked, ahead.no_show),
        doses_per_vial=per_vial,
        life_slots=_life(rules.protocol) // timedelta(minutes=ahead.slot_min),
        hold_most=wait_most_min // ahead.slot_min,
        standby=ahead.standby,
        takes=ahead.takes,
    )
    found = policy(day, Prices(1.0, person_price, wait_price))
    steps = steps_of(found, ahead.slots, ahead.slot_min, ahead.standby)
    close_by = _together(ahead, day)
    beside = table_data(ahead.booked, ahead.no_show, per_vial, ahead.tables)
    text = [
        policy_text(found, steps, ahead.slot_min, person_price),
        *_together_text(ahead, close_by),
        *([] if beside is None else [table_text(beside)]),
    ]
    return Answer(
        data={
            **policy_data(found, ahead.slot_min),
            "opens_from": steps,
            "slots": ahead.slots,
            "slot_min": ahead.slot_min,
            "doses_per_vial": per_vial,
            "tables": beside,
            "together_wasted": close_by,
        },
        text="\n".join(text),
        protocol=rules.ref,
    )


def _together(ahead: Ahead, day: OpeningDay) -> float | None:
    """Return the doses wasted with the same bookings inside fewer hours; None: not asked."""
    if ahead.together is None:
        return None
    booked, no_show = ahead.booked or 0, ahead.no_show or 0.0
    arrivals = _arrivals(replace(ahead, hours=ahead.together), booked, no_show)
    asked = policy(replace(day, arrivals=arrivals), Prices(1.0, 0.0, 0.0)).open_when_asked
    return asked.doses_wasted


def _together_text(ahead: Ahead, close_by: float | None) -> list[str]:
    if close_by is None:
        return []
    said = f"The same bookings within {ahead.together:g} h, open when asked"
    return [f"{said}: {close_by:.2f} doses wasted."]


def _life(protocol: Protocol) -> timedelta:
    """Return the shortest time that an opened vial may be used."""
    lengths = [
        clock.allows.longest()
        for clock in protocol.clocks.values()
        if clock.starts_on is Starts.OPEN
    ]
    return min(lengths)


def _arrivals(ahead: Ahead, booked: int, no_show: float) -> Numbers:
    """Return the chance of each number of people in each slot."""
    walk_ups = (walk_ups_of(ahead.walk_ups_per_hour) or 0) * ahead.slot_min / _MINUTES
    if booked < 0 or not 0 <= no_show < 1 or not walk_ups >= 0:
        raise RecordError(
            f"{booked} booked, {no_show} stay away, {walk_ups:g} walk in a slot",
            advice="0 or more people, a share from 0 to below 1; if nobody comes, open none",
        )
    slots = ahead.slots
    ends = [booked * slot // slots for slot in range(slots + 1)]
    most_in = int(poisson.isf(_RARE, walk_ups)) if walk_ups else 0
    walking = poisson.pmf(np.arange(most_in + 1), walk_ups)
    rows = [
        np.convolve(binom.pmf(np.arange(b - a + 1), b - a, 1 - no_show), walking)
        for a, b in pairwise(ends)
    ]
    found = np.zeros((slots, max(len(row) for row in rows)))
    for slot, row in enumerate(rows):
        found[slot, : len(row)] = row
        found[slot, len(row) - 1] += 1 - row.sum()
    return found
