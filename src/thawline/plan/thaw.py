"""
The thaw plan: how many vials must be ready by each half-hour, and when each must move.

By the end of every half-hour the doses made ready are enough for everybody who has come until
then, with the service level asked for. A vial counts from the moment it may be opened, so
each half-hour's vials must be in the refrigerator, and then on the table, by a latest moment.
See docs/background/thaw-plan.md.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.errors import RecordError
from thawline.base.instants import Instant
from thawline.plan.attendance import (
    Distribution,
    chance_above,
    expected_left_over,
    expected_people,
    expected_turned_away,
    joined,
    least_enough,
    nobody,
)
from thawline.plan.half_hours import HalfHour
from thawline.rules.protocol import Protocol

_HALF = 0.5


@dataclass(frozen=True, slots=True)
class ThawRule:
    """What the protocol says about thawing; how long each step takes."""

    doses_per_vial: int
    in_fridge: timedelta
    on_table: timedelta  # after the refrigerator, before opening
    straight: timedelta  # from frozen on the table, without the refrigerator


@dataclass(frozen=True, slots=True)
class OnHand:
    """Doses ready or open already, and vials chilled that still have to go to the table."""

    ready_doses: int = 0
    chilled_vials: int = 0


@dataclass(frozen=True, slots=True)
class Between:
    """A count that chance decides: seldom less, as often below as above, seldom more."""

    low: int
    likely: int
    high: int


@dataclass(frozen=True, slots=True)
class Need:
    """
    What one half-hour needs; people and vials `so_far` count from the start of the plan.

    `fridge_by`, `table_by` and `straight_by` are the latest safe moments: a vial moved then
    may be opened when the half-hour starts. `chance_short` is the chance that by its end more
    people have come than there are doses.
    """

    starts: Instant
    booked: int
    people_so_far: Between
    vials_so_far: int
    to_table: int
    to_fridge: int
    fridge_by: Instant
    table_by: Instant
    straight_by: Instant
    chance_short: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What so many vials for the whole plan mean by its end, on average."""

    vials: int
    chance_short: float
    expected_turned_away: float
    expected_left_over: float  # doses


@dataclass(frozen=True, slots=True)
class ThawPlan:
    """
    The whole plan.

    `one_vial` holds one vial fewer, as planned, and one more; fewer is left out at none.
    `chance_short_once` is the chance to run short in at least one half-hour.
    """

    service: float
    needs: tuple[Need, ...]
    booked: int
    expected_people: float
    people: Between
    vials: Between
    planned_vials: int
    chance_short_once: float
    one_vial: tuple[Outcome, ...]


def thaw_rule(protocol: Protocol) -> ThawRule:
    """Return what a protocol says about thawing; a day counts as 24 hours."""
    return ThawRule(
        doses_per_vial=protocol.product.doses_per_vial.value,
        in_fridge=protocol.thaw.refrigerator.takes.longest(),
        on_table=protocol.thaw.refrigerator.then_room.longest(),
        straight=protocol.thaw.room.takes.longest(),
    )


def thaw_plan(
    half_hours: Sequence[HalfHour], rule: ThawRule, service: float, on_hand: OnHand
) -> ThawPlan:
    """
    Return the vials to move for the half-hours, in order.

    Raises:
        RecordError: The service level is not from one half up to, and without, 1.
    """
    if not _HALF <= service < 1:
        raise RecordError(
            f"service level is not from 0.5 to below 1: {service}",
            advice="write the chance of having enough, as in 0.95",
        )
    so_far = list(_people_so_far(half_hours))
    enough = [_vials(least_enough(people, service), rule, on_hand) for people in so_far]
    needs = tuple(_needs(half_hours, so_far, enough, rule, service, on_hand))
    people = so_far[-1] if so_far else nobody()
    planned = enough[-1] if enough else 0
    between = _between(people, service)
    return ThawPlan(
        service=service,
        needs=needs,
        booked=sum(len(hour.chances) for hour in half_hours),
        expected_people=expected_people(people),
        people=between,
        vials=Between(
            *(_vials(n, rule, on_hand) for n in (between.low, between.likely, between.high))
        ),
        planned_vials=planned,
        chance_short_once=_chance_short_once(half_hours, enough, rule, on_hand),
        one_vial=tuple(
            _outcome(people, vials, rule, on_hand)
            for vials in (planned - 1, planned, planned + 1)
            if vials >= 0
        ),
    )


def _people_so_far(half_hours: Sequence[HalfHour]) -> Iterator[Distribution]:
    people = nobody()
    for hour in half_hours:
        people = joined(people, hour.chances)
        yield people


def _vials(people: int, rule: ThawRule, on_hand: OnHand) -> int:
    """Return the whole vials needed for the people beyond the doses that are ready."""
    return max(0, -((on_hand.ready_doses - people) // rule.doses_per_vial))


def _doses(vials: int, rule: ThawRule, on_hand: OnHand) -> int:
    return on_hand.ready_doses + vials * rule.doses_per_vial


def _between(people: Distribution, service: float) -> Between:
    return Between(
        low=least_enough(people, 1 - service),
        likely=least_enough(people, _HALF),
        high=least_enough(people, service),
    )


def _needs(
    half_hours: Sequence[HalfHour],
    so_far: Sequence[Distribution],
    enough: Sequence[int],
    rule: ThawRule,
    service: float,
    on_hand: OnHand,
) -> Iterator[Need]:
    before = 0
    for hour, people, vials in zip(half_hours, so_far, enough, strict=True):
        table_by = Instant(hour.starts - rule.on_table)
        yield Need(
            starts=hour.starts,
            booked=len(hour.chances),
            people_so_far=_between(people, service),
            vials_so_far=vials,
            to_table=vials - before,
            to_fridge=_frozen(vials, on_hand) - _frozen(before, on_hand),
            fridge_by=Instant(table_by - rule.in_fridge),
            table_by=table_by,
            straight_by=Instant(hour.starts - rule.straight),
            chance_short=chance_above(people, _doses(vials, rule, on_hand)),
        )
        before = vials


def _frozen(vials: int, on_hand: OnHand) -> int:
    """Return how many of the vials must come from the freezer: chilled ones go first."""
    return max(0, vials - on_hand.chilled_vials)


def _chance_short_once(
    half_hours: Sequence[HalfHour], enough: Sequence[int], rule: ThawRule, on_hand: OnHand
) -> float:
    """Return the chance that the doses ready are too few at the end of some half-hour."""
    people, short = nobody(), 0.0
    for hour, vials in zip(half_hours, enough, strict=True):
        people = joined(people, hour.chances)
        doses = _doses(vials, rule, on_hand)
        short += chance_above(people, doses)
        people = people[: doses + 1]
    return short


def _outcome(people: Distribution, vials: int, rule: ThawRule, on_hand: OnHand) -> Outcome:
    doses = _doses(vials, rule, on_hand)
    return Outcome(
        vials=vials,
        chance_short=chance_above(people, doses),
        expected_turned_away=expected_turned_away(people, doses),
        expected_left_over=expected_left_over(people, doses),
    )
