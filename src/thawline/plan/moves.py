"""
What to do about a thaw plan: moves whose latest safe moment has passed, and what each costs.

A vial moved at the latest safe moment is still in time; a second later it is not.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.durations import spoken
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant
from thawline.plan.thaw import Need, ThawPlan
from thawline.rules.protocol import Clock, Protocol, Starts


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long a vial keeps after a step, by the shortest clock that the step starts."""

    item: str
    allows: timedelta


@dataclass(frozen=True, slots=True)
class Keeps:
    """How long a vial keeps once thawed, on the table and open; None: no clock says."""

    thawed: Keeping | None
    on_table: Keeping | None
    opened: Keeping | None


def keeps(protocol: Protocol) -> Keeps:
    """Return how long the protocol lets a vial keep after each step."""
    return Keeps(
        thawed=_shortest(protocol.clocks.values(), Starts.LEAVES_FROZEN),
        on_table=_shortest(protocol.clocks.values(), Starts.TO_TABLE),
        opened=_shortest(protocol.clocks.values(), Starts.OPEN),
    )


def _shortest(clocks: Iterable[Clock], step: Starts) -> Keeping | None:
    started = [
        Keeping(one.item, one.allows.longest()) for one in clocks if one.starts_on is step
    ]
    return min(started, key=lambda keeping: keeping.allows, default=None)


def cost_in_words(kept: Keeps) -> str:
    """Return what one vial too many costs, thawed and opened, by the protocol's own limits."""
    if kept.thawed is None or kept.opened is None:
        return "The protocol does not say how long a vial keeps once thawed or once open."
    thawed, opened = kept.thawed, kept.opened
    until_then = f"{spoken(thawed.allows)} chilled (item {thawed.item})"
    once_open = f"{spoken(opened.allows)} (item {opened.item})"
    if thawed.allows <= opened.allows:
        return (
            f"One vial thawed too many is dear: it keeps {until_then}; one opened, {once_open}."
        )
    return (
        f"Over-thawing is cheap, over-opening is dear: a vial thawed too many keeps "
        f"{until_then} in the fridge; once open, {once_open}."
    )


def before_the_first(plan: ThawPlan) -> int:
    """Return the vials that must be in the refrigerator before the first person is booked."""
    if not plan.needs:
        return 0
    first = plan.needs[0].starts
    return sum(need.to_fridge for need in plan.needs if need.fridge_by < first)


def late_moves(plan: ThawPlan, now: Instant, protocol: Protocol) -> tuple[Finding, ...]:
    """
    Return what can no longer be done as planned at this moment, one finding for each way out.

    Vials too late for the refrigerator can thaw on the table; vials too late for that are not
    ready when their half-hour starts.
    """
    frozen = [need for need in plan.needs if need.to_fridge and need.fridge_by < now]
    straight = [need for need in frozen if now <= need.straight_by]
    never = [need for need in frozen if need.straight_by < now]
    chilled = [
        need for need in plan.needs if need.to_table > need.to_fridge and need.table_by < now
    ]
    found = []
    if never:
        found.append(
            Finding(
                Level.ACT,
                "not-ready-in-time",
                f"{_vials(never)} for the next half-hours cannot be ready when they start. "
                "Move them straight to the table now; tell the front desk.",
                protocol.thaw.room.item,
            )
        )
    if straight:
        found.append(
            Finding(
                Level.ACT,
                "too-late-for-fridge",
                f"{_vials(straight)} too late for the fridge. "
                "Move them straight to the table, by the times in the table.",
                protocol.thaw.room.item,
            )
        )
    if chilled:
        count = sum(need.to_table - need.to_fridge for need in chilled)
        found.append(
            Finding(
                Level.ACT,
                "late-to-table",
                f"{count} chilled {'vial' if count == 1 else 'vials'} should be on the table "
                "already. Move them now.",
                protocol.thaw.refrigerator.item,
            )
        )
    return tuple(found)


def _vials(needs: Sequence[Need]) -> str:
    count = sum(need.to_fridge for need in needs)
    return f"{count} {'vial' if count == 1 else 'vials'}"
