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
from thawline.plan.opened_waste import waste_of_bookings
from thawline.plan.opening import OpeningDay, Outlook, Policy, Prices, policy
from thawline.plan.opening_kernel import Numbers
from thawline.rules.protocol import Protocol, Starts

_MINUTES = 60
_RARE = 1e-10  # more walk-ups in a slot than this chance are counted as the last number


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Ahead:
    """
    What is known of the hours that are left; at a site the record says it.

    Parameters
    ----------
    booked
        People booked in the hours that are left; left out, the site's own record is read.
    no_show
        The share of them that stays away, from 0 to 1; at a site learned if left out.
    hours
        Hours until the last person is served; at a site say --close.
    walk_ups_per_hour
        People who come without a booking; at a site learned from today if left out.
    standby
        Names on the standby list; a site has its own.
    takes
        The chance that a name called comes in time.
    slot_min
        The length of a slot in minutes.
    tables
        Draw tables, to show what one vial for each would waste beside one shared table.
    """

    booked: int | None = None
    no_show: float | None = None
    hours: float | None = None
    walk_ups_per_hour: float | None = None
    standby: int = 0
    takes: float = 0.5
    slot_min: int = 10
    tables: int = 1

    @property
    def slots(self) -> int:
        """Return the slots that are left; RecordError without one."""
        hours = self.hours or 0
        if self.slot_min < 1 or not _MINUTES * hours >= self.slot_min:
            raise RecordError(
                f"{hours} h in slots of {self.slot_min} min", advice="at least one slot"
            )
        return int(hours * _MINUTES // self.slot_min)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Here:
    """
    A question about a site's own day.

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    at
        The moment asked about: 16:52 today, or a time with its offset; now if left out.
    close
        When the last person is served; left out, ten minutes after the last booking.
    waiting
        People here without a dose, beside those at the chairs.
    svg
        The file to write the picture of the last hours to; its name ends in .svg.
    """

    site: str | None = None
    at: str | None = None
    close: str | None = None
    waiting: int = 0
    svg: str | None = None


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

        if ahead.hours is not None or ahead.standby or protocol is not None:
            raise RecordError(
                "--hours, --standby and --protocol go with --booked; a site has its own",
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
    beside = table_data(ahead.booked, ahead.no_show, per_vial, ahead.tables)
    text = [policy_text(found, steps, ahead.slot_min, person_price)]
    if beside is not None:
        text.append(table_text(beside))
    return Answer(
        data={
            **policy_data(found, ahead.slot_min),
            "opens_from": steps,
            "slots": ahead.slots,
            "slot_min": ahead.slot_min,
            "doses_per_vial": per_vial,
            "tables": beside,
        },
        text="\n".join(text),
        protocol=rules.ref,
    )


def policy_data(found: Policy, slot_min: int) -> dict[str, Any]:
    """Return what the best choices and opening when asked lead to, as JSON."""
    return {
        "best": _values(found.best, slot_min),
        "open_when_asked": _values(found.open_when_asked, slot_min),
        "open_when_asked_is_best": found.is_open_when_asked,
    }


def table_data(
    booked: int, no_show: float, doses_per_vial: int, tables: int
) -> dict[str, Any] | None:
    """Return the waste of one shared table and of one vial per table; None for one table."""
    if tables == 1:
        return None
    shared = waste_of_bookings(booked, no_show, doses_per_vial)
    own = waste_of_bookings(booked, no_show, doses_per_vial, tables)
    return {
        "tables": tables,
        "shared_wasted": shared.expected_wasted,
        "own_vials_wasted": own.expected_wasted,
    }


def table_text(beside: dict[str, Any]) -> str:
    """Return the waste of one shared table beside one vial per table, for people."""
    return wrapped(
        f"One shared draw table: {beside['shared_wasted']:.2f} doses left over at the close. "
        f"One vial for each of {beside['tables']} tables: {beside['own_vials_wasted']:.2f}. "
        "No clock ends a vial early in this comparison."
    )


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
    walk_ups = (ahead.walk_ups_per_hour or 0) * ahead.slot_min / _MINUTES
    if booked < 0 or not 0 <= no_show <= 1 or not walk_ups >= 0:
        raise RecordError(
            f"{booked} booked, {no_show} stay away, {walk_ups:g} walk in a slot",
            advice="0 or more people, a share from 0 to 1",
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


def steps_of(
    found: Policy, slots: int, slot_min: int, standby: int
) -> list[dict[str, int | None]]:
    """Return from when on a vial is opened for how few people, at the best choice."""
    per_slot = [(found.opens_from(slot, standby), slot) for slot in range(slots)]
    runs = [list(run) for _, run in groupby(per_slot, key=lambda each: each[0])]
    return [{"after_min": run[0][1] * slot_min, "people": run[0][0]} for run in runs]


def _values(outlook: Outlook, slot_min: int) -> dict[str, Any]:
    return {
        "price_doses": outlook.cost,
        "doses_wasted": outlook.doses_wasted,
        "people_asked_back": outlook.people_asked_back,
        "wait_person_min": outlook.slots_held * slot_min,
        "vials_opened": outlook.vials_opened,
    }


def policy_text(
    found: Policy, steps: list[dict[str, int | None]], slot_min: int, person_price: float
) -> str:
    """Return the table of choices for people: from when on, for how few a vial is opened."""
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
