"""`thawline plan opening`: open another vial, let people wait, or ask them to come back."""

from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby, pairwise
from typing import Any

import numpy as np
from cyclopts import Parameter
from scipy.stats import binom, poisson

from thawline.base.durations import spoken
from thawline.base.errors import RecordError
from thawline.cli.answers import Answer
from thawline.cli.reading import rules_for
from thawline.cli.text import wrapped
from thawline.plan.opening import OpeningDay, Outlook, Policy, Prices, policy
from thawline.plan.opening_kernel import Numbers
from thawline.rules.protocol import Protocol, Starts

_MINUTES = 60
_RARE = 1e-10  # more walk-ups in a slot than this chance are counted as the last number


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Ahead:
    """
    What is known of the hours that are left.

    Parameters
    ----------
    booked
        People booked in the hours that are left.
    no_show
        The share of them that stays away, from 0 to 1.
    hours
        Hours until the last person is served.
    walk_ups_per_hour
        People who come without a booking.
    standby
        Names on the standby list.
    takes
        The chance that a name called comes in time.
    slot_min
        The length of a slot in minutes.
    """

    booked: int
    no_show: float
    hours: float
    walk_ups_per_hour: float = 0
    standby: int = 0
    takes: float = 0.5
    slot_min: int = 10

    @property
    def slots(self) -> int:
        """Return the slots that are left; RecordError without one."""
        if self.slot_min < 1 or not _MINUTES * self.hours >= self.slot_min:
            raise RecordError(
                f"{self.hours} h in slots of {self.slot_min} min", advice="at least one slot"
            )
        return int(self.hours * _MINUTES // self.slot_min)


def opening(
    *,
    ahead: Ahead,
    person_price: float,
    wait_price: float = 0.5,
    wait_most_min: int = 20,
    protocol: str | None = None,
) -> Answer:
    """
    Say when to open another vial, for how many, and what it costs; records nothing.

    thawline plan opening --booked 24 --no-show 0.15 --hours 10 --person-price 3
    thawline plan opening --booked 60 --no-show 0.12 --hours 4 --person-price 10 --standby 6

    One shared draw table; the bookings are spread evenly over the hours that are left.

    Parameters
    ----------
    person_price
        What asking one person to come back costs, in doses: the site lead's judgement.
    wait_price
        What one person waiting for a slot costs, in doses.
    wait_most_min
        The longest that somebody may be asked to wait; 0: nobody waits.
    protocol
        A protocol id or file; left out, the newest published guidance.
    """
    rules = rules_for(protocol, None)
    day = OpeningDay(
        arrivals=_arrivals(ahead),
        doses_per_vial=rules.protocol.product.doses_per_vial.value,
        life_slots=_life(rules.protocol) // timedelta(minutes=ahead.slot_min),
        hold_most=wait_most_min // ahead.slot_min,
        standby=ahead.standby,
        takes=ahead.takes,
    )
    found = policy(day, Prices(1.0, person_price, wait_price))
    steps = _steps(found, ahead)
    return Answer(
        data={
            "best": _values(found.best, ahead.slot_min),
            "open_when_asked": _values(found.open_when_asked, ahead.slot_min),
            "open_when_asked_is_best": found.is_open_when_asked,
            "opens_from": steps,
            "slots": ahead.slots,
            "slot_min": ahead.slot_min,
            "doses_per_vial": day.doses_per_vial,
        },
        text=_text(found, steps, ahead.slot_min, person_price),
        protocol=rules.ref,
    )


def _life(protocol: Protocol) -> timedelta:
    """Return the shortest time that an opened vial may be used."""
    lengths = [
        clock.allows.longest()
        for clock in protocol.clocks.values()
        if clock.starts_on is Starts.OPEN
    ]
    return min(lengths)


def _arrivals(ahead: Ahead) -> Numbers:
    """Return the chance of each number of people in each slot."""
    walk_ups = ahead.walk_ups_per_hour * ahead.slot_min / _MINUTES
    if ahead.booked < 0 or not 0 <= ahead.no_show <= 1 or not walk_ups >= 0:
        raise RecordError(
            f"{ahead.booked} booked, {ahead.no_show} stay away, {walk_ups:g} walk in a slot",
            advice="0 or more people, a share from 0 to 1",
        )
    slots = ahead.slots
    ends = [ahead.booked * slot // slots for slot in range(slots + 1)]
    most_in = int(poisson.isf(_RARE, walk_ups)) if walk_ups else 0
    walking = poisson.pmf(np.arange(most_in + 1), walk_ups)
    rows = [
        np.convolve(binom.pmf(np.arange(b - a + 1), b - a, 1 - ahead.no_show), walking)
        for a, b in pairwise(ends)
    ]
    found = np.zeros((slots, max(len(row) for row in rows)))
    for slot, row in enumerate(rows):
        found[slot, : len(row)] = row
        found[slot, len(row) - 1] += 1 - row.sum()
    return found


def _steps(found: Policy, ahead: Ahead) -> list[dict[str, int | None]]:
    """Return from when on a vial is opened for how few people, at the best choice."""
    per_slot = [(found.opens_from(slot, ahead.standby), slot) for slot in range(ahead.slots)]
    runs = [list(run) for _, run in groupby(per_slot, key=lambda each: each[0])]
    return [{"after_min": run[0][1] * ahead.slot_min, "people": run[0][0]} for run in runs]


def _values(outlook: Outlook, slot_min: int) -> dict[str, Any]:
    return {
        "price_doses": outlook.cost,
        "doses_wasted": outlook.doses_wasted,
        "people_asked_back": outlook.people_asked_back,
        "wait_person_min": outlook.slots_held * slot_min,
        "vials_opened": outlook.vials_opened,
    }


def _text(
    found: Policy, steps: list[dict[str, int | None]], slot_min: int, person_price: float
) -> str:
    asked, best = found.open_when_asked, found.best
    says = f"Open when asked: {asked.doses_wasted:.2f} doses wasted, nobody asked back."
    if found.is_open_when_asked:
        return wrapped(
            f"{says} At {person_price:g} doses a person nothing beats it. A standby list, one "
            "shared draw table and bookings close together save doses; waiting does not."
        )
    waits = f", {best.slots_held * slot_min:.0f} person-minutes of waiting"
    told = wrapped(
        f"{says} At {person_price:g} doses a person, best: {best.doses_wasted:.2f} doses "
        f"wasted, {best.people_asked_back:.2f} people asked to come back"
        f"{waits if best.slots_held else ''}, on average over days like this one."
    )
    return "\n".join([told, *(_step(step) for step in steps)])


def _step(step: dict[str, int | None]) -> str:
    after = step["after_min"]
    since = f"from {spoken(timedelta(minutes=after))} on" if after else "at first"
    people = step["people"]
    if people is None:
        return f"  {since}: only full vials"
    return f"  {since}: open for {'anybody' if people == 1 else f'{people} or more'}"
