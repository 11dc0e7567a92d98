"""
The excursions of a storage unit: from the readings of its loggers and from what people read.

Each probe is a record of its own. An excursion reaches from the last time the unit was known
to be in to the first time it was known to be in again, and how long it was out in between is
said at least and at most. From a display nobody knows how long: at least one reading out.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from thawline.app.cold import Sourced, readings_of
from thawline.app.in_force import InForce, in_force
from thawline.app.ports import Site
from thawline.app.units import band_of, unit_of
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, from_ms, to_ms, written
from thawline.base.quantities import millicelsius
from thawline.ledger.entries import View
from thawline.rules.cold import Side
from thawline.rules.protocol import Band, Protocol
from thawline.store.bounds import Window, bounds
from thawline.store.exposure import Excursion, Exposure, Question, exposure
from thawline.store.fold import UNIT, HandRow, UnitState
from thawline.store.inside import Span
from thawline.store.limits import Limit, Limits, limits
from thawline.store.pieces import between, joined
from thawline.store.tidy import Tidy, tidied
from thawline.store.units import StorageUnit


@dataclass(frozen=True, slots=True)
class Record:
    """
    What one probe's loggers wrote, put in order.

    Args:
        probe: Which, where a file had several.
        files: All that were read, with their readings.
        tidy: Everything up to the end of the time asked about.
        exposure: What of it lies in the time asked about, and what that says.
    """

    probe: str
    files: tuple[Sourced, ...]
    tidy: Tidy
    exposure: Exposure


@dataclass(frozen=True, slots=True)
class Out:
    """
    One excursion of a unit. Instants in ms of UTC, temperatures in thousandths of a degree.

    Args:
        side: Above or below.
        known_in_ms: The last time before it that the unit was known to be in; None: nothing is
            known before.
        first_out_ms: The first reading out.
        last_out_ms: The last reading out.
        in_again_ms: The first time after it that it was known to be in; None: not yet.
        extreme_mc: The reading farthest out.
        readings: How many readings were out.
        record: The loggers' record; None for what people read.
        by: Who read it, for a hand reading.
    """

    side: Side
    known_in_ms: int | None
    first_out_ms: int
    last_out_ms: int
    in_again_ms: int | None
    extreme_mc: int
    readings: int
    record: Record | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class Lasted:
    """How long it was out, at least and at most, in ms."""

    at_least_ms: int
    at_most_ms: int


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit during a time: its band, its records, what people read, and its excursions."""

    unit: StorageUnit
    band: Band
    limits: Limits
    accuracy_mc: int
    asked: Span
    records: tuple[Record, ...]
    hand: tuple[HandRow, ...]
    outs: tuple[Out, ...]
    state: UnitState
    rules: InForce

    @property
    def unknown_ms(self) -> int:
        """How long no logger saw it: gaps, and what lies before the first reading or after."""
        return max((self._unseen(each) for each in self.records), default=self.asked.length_ms)

    def _unseen(self, record: Record) -> int:
        times = record.tidy.settled.at_ms
        seen = times[(times >= self.asked.from_ms) & (times <= self.asked.to_ms)]
        if not len(seen):
            return self.asked.length_ms
        after = self.asked.to_ms - int(seen[-1])
        awaited = after <= (record.tidy.interval_ms or 0)
        before = int(seen[0]) - self.asked.from_ms
        return record.exposure.unknown_ms + before + (0 if awaited else after)

    def span(self, out: Out) -> Span:
        """Return the longest that an excursion can have been, within the time asked."""
        start = self.asked.from_ms if out.known_in_ms is None else out.known_in_ms
        return Span(start, self.asked.to_ms if out.in_again_ms is None else out.in_again_ms)

    def lasted(self, out: Out, during: Span) -> Lasted:
        """Return how long the unit was out during a time; from a display at most all of it."""
        whole = self.span(out)
        start, end = max(during.from_ms, whole.from_ms), min(during.to_ms, whole.to_ms)
        if start >= end:
            return Lasted(0, 0)
        if out.record is None:
            return Lasted(0, end - start)
        limit = limit_of(self.limits, out.side)
        found = bounds(out.record.tidy, limit, self.accuracy_mc, Window(start, end))
        return Lasted(found.at_least_ms, found.at_most_ms)


def limit_of(ends: Limits, side: Side) -> Limit:
    """Return the end of the band on that side."""
    return ends.above if side is Side.ABOVE else ends.below


def unit_during(
    site: Site, view: View, name: str, since: Instant | None, until: Instant
) -> Unit:
    """
    Return a unit's readings and excursions in a time; `since` None: from its first reading.

    Raises:
        NotFoundError: The site has no such unit.
        RecordError: The time ends before it begins.
    """
    unit = unit_of(site, name)
    rules = in_force(site, view, until)
    band = band_of(unit, rules.protocol)
    state = view.one(UNIT, name) or UnitState()
    sourced = list(readings_of(site, view, name, None, None, until))
    hand = [row for row in state.hand if row.lo_ms <= to_ms(until)]
    asked = _asked(site, sourced, hand, since, until)
    question = Question(limits(band), accuracy_mc(unit, rules.protocol))
    records = tuple(_records(sourced, question, asked))
    outs = [out for record in records for out in _logged(record, question)]
    outs += _read_by_hand(hand, question.limits)
    return Unit(
        unit=unit,
        band=band,
        limits=question.limits,
        accuracy_mc=question.accuracy_mc,
        asked=asked,
        records=records,
        hand=tuple(row for row in hand if row.lo_ms >= asked.from_ms),
        outs=tuple(sorted(_of_time(outs, asked), key=lambda out: (out.first_out_ms, out.side))),
        state=state,
        rules=rules,
    )


def accuracy_mc(unit: StorageUnit, protocol: Protocol) -> int:
    """Return how far the unit's logger may be off: by its certificate, else by the protocol."""
    if unit.accuracy_c is not None:
        return millicelsius(unit.accuracy_c)
    return millicelsius(protocol.logging.accuracy_c) if protocol.logging else 0


def _asked(
    site: Site,
    sourced: Sequence[Sourced],
    hand: Sequence[HandRow],
    since: Instant | None,
    until: Instant,
) -> Span:
    first = [int(each.readings.at_ms[0]) for each in sourced if len(each.readings)]
    first += [row.lo_ms for row in hand]
    start = min(first, default=to_ms(until)) if since is None else to_ms(since)
    if start > to_ms(until):
        raise RecordError(
            f"{written(from_ms(start), site.zone)} is after {written(until, site.zone)}",
            advice="--since comes before --until",
        )
    return Span(start, to_ms(until))


def _records(sourced: Sequence[Sourced], question: Question, asked: Span) -> Iterator[Record]:
    for probe in dict.fromkeys(each.file.probe for each in sourced):
        files = tuple(each for each in sourced if each.file.probe == probe)
        whole = joined(each.readings for each in files)
        tidy = tidied(whole)
        then = tidied(between(whole, asked.from_ms, asked.to_ms), tidy.interval_ms)
        yield Record(probe, files, tidy, exposure(then, question))


def _of_time(outs: Iterable[Out], asked: Span) -> list[Out]:
    """Return the excursions of which any part can lie in the time asked about."""
    return [
        out
        for out in outs
        if out.first_out_ms <= asked.to_ms
        and (out.in_again_ms is None or out.in_again_ms >= asked.from_ms)
    ]


def _logged(record: Record, question: Question) -> list[Out]:
    """
    Return the excursions of a record, each with when it was known to be in on either side.

    Two that only a gap parts are one: nothing says that it was in between.
    """
    found: dict[tuple[Side, int | None], Out] = {}
    for each in exposure(record.tidy, question).excursions:
        out = _out(record, each, limit_of(question.limits, each.side))
        before = found.get((out.side, out.known_in_ms))
        found[out.side, out.known_in_ms] = out if before is None else _one(before, out)
    return list(found.values())


def _out(record: Record, found: Excursion, limit: Limit) -> Out:
    settled = record.tidy.settled
    worst = settled.warmest_mc if found.side is Side.ABOVE else settled.coldest_mc
    inside = settled.at_ms[limit.excess(worst) <= 0]
    place = int(inside.searchsorted(found.from_ms))
    return Out(
        side=found.side,
        known_in_ms=int(inside[place - 1]) if place else None,
        first_out_ms=found.from_ms,
        last_out_ms=found.to_ms,
        in_again_ms=int(inside[place]) if place < len(inside) else None,
        extreme_mc=found.extreme_mc,
        readings=found.readings,
        record=record,
    )


def _one(first: Out, second: Out) -> Out:
    worse = max if first.side is Side.ABOVE else min
    return replace(
        first,
        last_out_ms=second.last_out_ms,
        extreme_mc=worse(first.extreme_mc, second.extreme_mc),
        readings=first.readings + second.readings,
    )


def _read_by_hand(every: Sequence[HandRow], band: Limits) -> Iterator[Out]:
    """Yield what displays showed out of the band: now, or at some time since the reset."""
    for row in every:
        resets = [each for each in every if each.reset and each.lo_ms < row.lo_ms]
        since = max((each.lo_ms for each in resets), default=None)
        most = row.temp_mc if row.max_mc is None else row.max_mc
        least = row.temp_mc if row.min_mc is None else row.min_mc
        for side, extreme, is_out in (
            (Side.ABOVE, most, most > band.high_mc),
            (Side.BELOW, least, least < band.low_mc),
        ):
            if is_out:
                yield _shown(row, side, extreme, since, band, every)


def _shown(
    row: HandRow,
    side: Side,
    extreme_mc: int,
    reset_ms: int | None,
    band: Limits,
    every: Sequence[HandRow],
) -> Out:
    limit = limit_of(band, side)
    now_in = _is_in(row.temp_mc, limit)
    before = [each.lo_ms for each in every if each.lo_ms < row.lo_ms and _all_in(each, limit)]
    after = [each.hi_ms for each in every if each.lo_ms > row.lo_ms and _all_in(each, limit)]
    from_display = row.max_mc if side is Side.ABOVE else row.min_mc
    known_in = max(before, default=None) if from_display is None else reset_ms
    return Out(
        side=side,
        known_in_ms=known_in,
        first_out_ms=row.lo_ms,
        last_out_ms=row.hi_ms,
        in_again_ms=row.hi_ms if now_in else min(after, default=None),
        extreme_mc=extreme_mc,
        readings=1,
        by=row.by,
    )


def _all_in(row: HandRow, limit: Limit) -> bool:
    shown = [row.temp_mc, row.min_mc, row.max_mc]
    return all(_is_in(mc, limit) for mc in shown if mc is not None)


def _is_in(temp_mc: int, limit: Limit) -> bool:
    return temp_mc <= limit.at_mc if limit.side is Side.ABOVE else temp_mc >= limit.at_mc
