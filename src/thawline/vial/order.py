"""Which fact came first, when some times are only known as intervals."""

from collections.abc import Iterable, Iterator, Sequence

from thawline.base.instants import Instant
from thawline.vial.story import Fact, What

Numbered = tuple[int, Fact]
"""A fact with its place in the order it was written down."""


def numbered(facts: Sequence[Fact], *kinds: What) -> list[Numbered]:
    """Return the facts of these kinds with their written places, in the order written."""
    return [(place, fact) for place, fact in enumerate(facts) if fact.what in kinds]


def certainly_after(later: Numbered, earlier: Numbered) -> bool:
    """Say whether no reading of the times puts `later` before `earlier`."""
    start, end = later[1].when.lo, earlier[1].when.hi
    return start > end or (start == end and later[0] > earlier[0])


def in_order(facts: Iterable[Numbered]) -> list[Numbered]:
    """Return the facts by their earlier bound, and as written where that is equal."""
    return sorted(facts, key=lambda each: (each[1].when.lo, each[0]))


def followers(of: Numbered, among: Iterable[Numbered]) -> Iterator[Numbered]:
    """Yield the facts that are certainly after this one."""
    return (each for each in among if certainly_after(each, of))


def until_discarded(facts: Sequence[Fact]) -> list[Fact]:
    """Return the facts up to the first discard in order, as written; all if there is none."""
    ordered = in_order(enumerate(facts))
    ends = [n for n, (_, fact) in enumerate(ordered) if fact.what is What.DISCARD][:1]
    kept = ordered[: ends[0] + 1] if ends else ordered
    return [fact for _, fact in sorted(kept, key=lambda each: each[0])]


_MILDER = {What.RELEASE, What.FLAG}


def happened(facts: Sequence[Fact], at: Instant) -> list[Fact]:
    """Return the facts that may have happened; of those that make it milder, the certain."""
    return [
        fact for fact in facts if (fact.when.hi if fact.what in _MILDER else fact.when.lo) <= at
    ]
