"""Whether a vial may be opened or drawn from, and which vial comes next."""

from collections.abc import Iterable, Iterator
from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, written
from thawline.rules.protocol import Protocol
from thawline.vial.reckon import Reckoning, State, against_use

Candidate = tuple[str, Reckoning, date | None]
"""A vial's code, what the rules make of it, and the last day on its label."""


def open_findings(
    vial: str, reckoning: Reckoning, at: Instant, protocol: Protocol, zone: ZoneInfo
) -> Iterator[Finding]:
    """Yield what speaks against opening the vial then; times as they are at the place."""
    if reckoning.state is State.OPEN:
        says = f"{vial} is open already; it cannot be opened twice"
        yield Finding(Level.STOP, "open-already", says)
    stops = against_use(vial, reckoning)
    yield from stops
    if stops or reckoning.state is State.OPEN or reckoning.may_be_opened(at):
        return
    thaw = protocol.thaw
    if reckoning.ready_at is None:
        says = (
            f"{vial} is {reckoning.state}; when it is ready is not known: take it to the table"
        )
    else:
        says = f"{vial} is {reckoning.state}; not before {written(reckoning.ready_at, zone)}"
    yield Finding(Level.STOP, "not-ready", says, thaw.refrigerator.item)


def draw_refusals(
    vial: str, reckoning: Reckoning, left: int, drawn: int, doses: int, protocol: Protocol
) -> Iterator[Finding]:
    """
    Yield what speaks against drawing so many doses.

    Args:
        vial: Its code.
        reckoning: What the rules make of it now.
        left: Doses in it by the book.
        drawn: Doses drawn from it before.
        doses: How many are asked for.
        protocol: The version in force.
    """
    if reckoning.state is not State.OPEN and reckoning.usable:
        yield Finding(Level.STOP, "not-open", f"{vial} is {reckoning.state}; open it first")
    yield from against_use(vial, reckoning)
    counted = protocol.product.doses_per_vial
    most = counted.most or counted.value
    if drawn + doses > most:
        says = f"{vial} would give {drawn + doses} doses; never more than {most}, never pooled"
        yield Finding(Level.STOP, "too-many-doses", says, counted.item)
    elif doses > max(left, 0):
        says = f"{doses - max(left, 0)} more than the book holds in {vial}: an extra dose"
        yield Finding(Level.CHECK, "extra-dose", says, counted.item)
    if protocol.punctures and drawn + doses > protocol.punctures.most:
        often = drawn + doses
        says = f"{vial} would be punctured {often} times; at most {protocol.punctures.most}"
        yield Finding(Level.STOP, "too-many-punctures", says, protocol.punctures.item)


def next_ones(candidates: Iterable[Candidate]) -> list[str]:
    """Return the usable vials to use first: earliest use-by, then earliest label."""
    usable = [
        (reckoning.use_by, last_day or date.max, vial)
        for vial, reckoning, last_day in candidates
        if reckoning.usable and reckoning.use_by is not None
    ]
    return [vial for _, _, vial in sorted(usable)]
