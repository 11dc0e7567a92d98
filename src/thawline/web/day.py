"""The day so far, counted: what the Today screen shows."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from thawline.app import observing
from thawline.base.instants import (
    Instant,
    from_ms,
    last_moment,
    local_date,
    local_time,
    midnight_before,
    to_ms,
)
from thawline.draw.day_line import Batch, DayLine, Hour
from thawline.draw.strips import Strip
from thawline.person.desk import DESK
from thawline.person.fold import PERSON, PersonState
from thawline.vial.reckon import State
from thawline.web.around import Around
from thawline.web.strips import strip_of, was_opened

_HOUR, _MINUTE = timedelta(hours=1), timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class DaySoFar:
    """
    Five numbers and the picture.

    Args:
        given: Doses given today.
        booked_to_now: Places that lay before this moment.
        waiting: People who came today and have neither had a dose nor left.
        longest: How long the one who came first has waited.
        watched: People who still have to stay in the observation area, by the record.
        may_leave: People whose time is over and of whom nobody recorded that they left.
        open_doses: Doses in open vials that may be used.
        first_end: The earliest use-by of these.
        line: The picture.
    """

    given: int
    booked_to_now: int
    waiting: int
    longest: timedelta | None
    watched: int
    may_leave: int
    open_doses: int
    first_end: Instant | None
    line: DayLine


def day_so_far(round_: Around) -> DaySoFar:
    """Return the day so far."""
    people = dict(round_.view.all(PERSON))
    booked = [at for state in people.values() for at in _booked(round_, state)]
    given = [at for state in people.values() for at in _given(round_, state)]
    stays = observing.waiting_in(round_.site, round_.view, round_.at)
    waits = sorted(_waits(round_, people))
    usable = [
        each
        for each in round_.stands
        if each.reckoning.state is State.OPEN and each.reckoning.usable and each.vial.left > 0
    ]
    ends = [each.reckoning.use_by for each in usable if each.reckoning.use_by is not None]
    return DaySoFar(
        given=len(given),
        booked_to_now=sum(at <= round_.at for at in booked),
        waiting=len(waits),
        longest=round_.at - waits[0] if waits else None,
        watched=sum(not each.may(round_.at) for each in stays),
        may_leave=sum(each.may(round_.at) for each in stays),
        open_doses=sum(each.vial.left for each in usable),
        first_end=min(ends, default=None),
        line=DayLine(
            hours=tuple(_hours(booked, given)),
            strips=_strips(round_),
            batches=tuple(_batches(round_)),
            now=round_.at,
            until=Instant(_minute(round_.at) + _MINUTE),
            zone=round_.zone,
        ),
    )


def _booked(round_: Around, state: PersonState) -> Iterator[Instant]:
    """Yield the person's places of today; a place that was changed counts once, as it is."""
    today = {booking.dose_number: from_ms(booking.slot_ms) for booking in state.bookings}
    yield from (at for at in today.values() if _is_today(round_, to_ms(at)))


def _given(round_: Around, state: PersonState) -> Iterator[Instant]:
    for dose in state.doses:
        if _is_today(round_, dose.hi_ms):
            yield from_ms(dose.hi_ms)


def _waits(round_: Around, people: dict[str, PersonState]) -> Iterator[Instant]:
    """Yield since when people wait who came today and are neither done nor gone."""
    for code, desk in round_.view.all(DESK):
        came = [from_ms(met.hi_ms) for met in desk.met if _is_today(round_, met.hi_ms)]
        if not came:
            continue
        left = any(_is_today(round_, at) for at in desk.left_ms)
        state = people.get(code)
        if not left and not (state and any(True for _ in _given(round_, state))):
            yield came[0]


def _is_today(round_: Around, at_ms: int) -> bool:
    first, last = _bounds(round_.today, round_.zone)
    return first <= at_ms <= last


@lru_cache(maxsize=8)
def _bounds(day: date, zone: ZoneInfo) -> tuple[int, int]:
    """Return the first and the last millisecond of a local day."""
    return to_ms(midnight_before(day, zone)), to_ms(last_moment(day, zone))


def _hours(booked: list[Instant], given: list[Instant]) -> Iterator[Hour]:
    of_places, of_doses = (Counter(map(_hour, each)) for each in (booked, given))
    both = [*of_places, *of_doses]
    if not both:
        return
    at = min(both)
    while at <= max(both):
        yield Hour(at, of_places[at], of_doses[at])
        at = Instant(at + _HOUR)


def _minute(at: Instant) -> Instant:
    return Instant(at.replace(second=0, microsecond=0))


def _hour(at: Instant) -> Instant:
    return Instant(at.replace(minute=0, second=0, microsecond=0))


def _strips(round_: Around) -> tuple[Strip, ...]:
    found = [each for each in round_.stands if was_opened(each) and each.vial.left > 0]
    found.sort(key=lambda each: (each.reckoning.use_by or round_.at, each.code))
    return tuple(strip_of(each) for each in found)


def _batches(round_: Around) -> Iterator[Batch]:
    warming = [each for each in round_.stands if each.reckoning.state is State.WARMING]
    ready = [each.reckoning.ready_at for each in warming if each.reckoning.ready_at]
    if warming:
        last = max(ready, default=round_.at)
        says = f"ready {_clock(round_, last)}" if ready else "when ready is not known"
        yield Batch("warming", len(warming), says, round_.at, last)
    waiting = [each for each in round_.stands if each.reckoning.state is State.READY]
    if waiting:
        ends = [e.reckoning.use_by for e in waiting if e.reckoning.use_by]
        says = (
            f"on the table, first use by {_when(round_, min(ends))}"
            if ends
            else "use by not known"
        )
        yield Batch("ready", len(waiting), says, round_.at, round_.at)
    chilled = [each for each in round_.stands if each.reckoning.state is State.CHILLED]
    if chilled:
        ends = [e.reckoning.use_by for e in chilled if e.reckoning.use_by]
        says = f"soonest {_when(round_, min(ends))}" if ends else "until when is not known"
        yield Batch("chilled", len(chilled), says, round_.at, max(ends, default=round_.at))


def _clock(round_: Around, at: Instant) -> str:
    return local_time(at, round_.zone).strftime("%H:%M")


def _when(round_: Around, at: Instant) -> str:
    day = local_date(at, round_.zone)
    return _clock(round_, at) if day == round_.today else f"{day:%a} {day.day} {day:%b}"
