"""What the facts of opening and drawing say: the first puncture, the count, and too early."""

from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, written
from thawline.rules.protocol import Count, Doses, Thaw
from thawline.vial.order import in_order, numbered
from thawline.vial.story import Fact, What
from thawline.vial.thawing import Progress, progress


def punctures(facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts that mean a needle went in, the earliest first."""
    return [fact for _, fact in in_order(numbered(facts, What.OPEN, What.DRAW))]


def opened_at(facts: Sequence[Fact]) -> Instant | None:
    """Return the earliest that the vial can have been opened; None while it is closed."""
    return min((fact.when.lo for fact in punctures(facts)), default=None)


def open_for_certain(facts: Sequence[Fact], at: Instant) -> Instant | None:
    """Return the instant by which it was certainly open; None while that has not come."""
    by_then = (fact.when.hi for fact in punctures(facts) if fact.when.hi <= at)
    return min(by_then, default=None)


def progress_at_opening(facts: Sequence[Fact], thaw: Thaw) -> Progress:
    """Return how far the thaw had come for a vial that is open, at its first puncture."""
    first = in_order(numbered(facts, What.OPEN, What.DRAW))[0]
    return progress(facts, thaw, first[1].when.hi, first)


def opening_findings(facts: Sequence[Fact], thaw: Thaw, zone: ZoneInfo) -> Iterator[Finding]:
    """Yield what is wrong with when, and how often, the vial was opened."""
    opened = punctures(facts)
    if not opened:
        return
    came = progress_at_opening(facts, thaw)
    lo = opened[0].when.lo
    item = thaw.room.item if came.on_table else thaw.refrigerator.item
    if came.thawed_at is None:
        says = f"opened {written(lo, zone)}, before it was thawed"
        yield Finding(Level.STOP, "opened-while-thawing", says, item)
    elif came.ready_at is None or lo < came.ready_at:
        ready = "nobody knows when" if came.ready_at is None else written(came.ready_at, zone)
        says = f"opened {written(lo, zone)}, before it was ready: {ready}"
        yield Finding(Level.ACT, "opened-while-warming", says, thaw.refrigerator.item)
    if sum(fact.what is What.OPEN for fact in opened[1:]):
        says = "opened twice; the clock runs from the first time"
        yield Finding(Level.CHECK, "opened-twice", says)


def drawn(facts: Sequence[Fact]) -> int:
    """Return how many doses were drawn."""
    return sum(fact.doses for fact in facts if fact.what is What.DRAW)


def draw_findings(
    facts: Sequence[Fact], doses: Doses, punctured: Count | None
) -> Iterator[Finding]:
    """Yield what is wrong with how much was drawn."""
    count = drawn(facts)
    if punctured and count > punctured.most:
        says = f"punctured {count} times; at most {punctured.most}"
        yield Finding(Level.STOP, "too-many-punctures", says, punctured.item)
    most = doses.most or doses.value
    if count > most:
        says = f"{count} doses drawn; a vial never gives more than {most}"
        yield Finding(Level.STOP, "too-many-doses", says, doses.item)
    elif count > doses.value:
        says = f"{count} doses drawn; {doses.value} are counted on"
        yield Finding(Level.CHECK, "extra-dose", says, doses.item)
