"""
The rolling thaw: how many vials must be thawed by now, asked again every half-hour.

At each asking the vials thawed must be enough for everybody until what is moved the next time
will be ready. A vial thawed too many in the refrigerator keeps for weeks, one on the table is
lost the same day: with prices, each way of thawing has a chance of its own to have enough,
price of a person / (price of a person + price of a surplus dose). See
docs/background/rolling-thaw.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.errors import RecordError
from thawline.base.instants import Instant
from thawline.plan.attendance import least_enough
from thawline.plan.day_kinds import DayKinds
from thawline.plan.demand import Party, people_by
from thawline.plan.thaw import OnHand, ThawRule

_HALF = 0.5


@dataclass(frozen=True, slots=True)
class SurplusPrices:
    """What each costs, in doses: a person without a dose; a dose too many, chilled or warm."""

    person: float
    chilled: float
    on_table: float

    def services(self) -> tuple[float, float]:
        """
        Return the chance to have enough, for the refrigerator and for the table.

        Raises:
            RecordError: A price is none, or a surplus is dearer than a person.
        """
        found = []
        for name, surplus in (("refrigerator", self.chilled), ("table", self.on_table)):
            if not (0 < surplus < float("inf") and 0 < self.person < float("inf")):
                raise RecordError(
                    f"prices: a person {self.person:g}, a dose too many {surplus:g} ({name})",
                    advice="both above 0, in doses; who wants no risk thaws for all bookings",
                )
            share = self.person / (self.person + surplus)
            if share < _HALF:
                raise RecordError(
                    f"a dose too many ({name}) costs more than a person: {surplus:g}",
                    advice="a person at least as much as a dose",
                )
            found.append(share)
        return found[0], found[1]


@dataclass(frozen=True, slots=True)
class Asking:
    """
    One time at which the plan is asked, and until when each move must be enough.

    `chilled`: until vials moved to the refrigerator at the next asking can be open; `table`:
    the same for chilled vials put on the table; `straight`: from the freezer to the table.
    """

    at: Instant
    chilled: int
    table: int
    straight: int


@dataclass(frozen=True, slots=True)
class Target:
    """
    The vials there should be at a time, counted from now, beyond the doses that are ready.

    `thawed`: all that have left the freezer; `on_table`: of those on the table; `straight`:
    all that can be open soon enough without the refrigerator.
    """

    at: Instant
    people: int
    thawed: int
    on_table: int
    straight: int


@dataclass(frozen=True, slots=True)
class Moves:
    """What to move now: vials to the refrigerator, to the table, straight to the table."""

    to_fridge: int
    to_table: int
    straight: int


def ends_of(asked: Sequence[Instant], rule: ThawRule, again: timedelta) -> list[list[Instant]]:
    """Return for each asking until when chilled, table and straight moves must be enough."""
    ways = (rule.in_fridge + rule.on_table, rule.on_table, rule.straight)
    return [[Instant(at + again + way) for way in ways] for at in asked]


def targets(
    parties: Sequence[Party],
    walk_ups: Sequence[float],
    kinds: DayKinds,
    askings: Sequence[Asking],
    told: tuple[tuple[float, float], ThawRule, OnHand],
) -> tuple[Target, ...]:
    """
    Return the line of targets, as seen now.

    Args:
        parties: Who is booked; `by_end` by the ends that the askings name.
        walk_ups: People without a booking until each end, on average.
        kinds: The kinds of day.
        askings: When the plan is asked; their ends are indices into `by_end`.
        told: The chances to have enough (refrigerator, table), the rule, and what is there.
    """
    (chilled, table), rule, on_hand = told
    people = people_by(parties, walk_ups, kinds)

    def vials(end: int, service: float) -> int:
        enough = least_enough(people[end], service)
        return max(0, -((on_hand.ready_doses - enough) // rule.doses_per_vial))

    return tuple(
        Target(
            at=asking.at,
            people=least_enough(people[asking.chilled], chilled),
            thawed=vials(asking.chilled, chilled),
            on_table=vials(asking.table, table),
            straight=vials(asking.straight, table),
        )
        for asking in askings
    )


def moves_now(target: Target, on_hand: OnHand) -> Moves:
    """Return what to move at a target's time; what is chilled already goes first."""
    straight = max(0, target.straight - on_hand.chilled_vials)
    return Moves(
        to_fridge=max(0, target.thawed - on_hand.chilled_vials - straight),
        to_table=min(on_hand.chilled_vials, target.on_table),
        straight=straight,
    )
