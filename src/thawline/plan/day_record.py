"""
A day as its stamps tell it: who came, who waited how long for a chair, doses by the half hour.

Nobody stamps the door. What is known of somebody's coming is the first stamp, so they came by
then at the latest; what is known of a wait is from the last question answered to the first
scan at a chair. Who was not asked the questions here has no wait that is known.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import accumulate

from thawline.base.instants import Instant
from thawline.plan.at_work import PATIENCE
from thawline.plan.half_hours import HALF_HOUR

_QUICKEST = 10  # of so many people one is the quickest tenth; our own judgement


@dataclass(frozen=True, slots=True)
class Visit:
    """
    What the record has of one person on one day; None: not stamped.

    Args:
        person: Their code.
        booked: The time of the place; None: without a booking.
        registered: When a person without a booking was written down.
        screened: When the last question was answered.
        seated: The first scan at a chair, or the dose where nothing was scanned.
        chair: Where; empty: not seated.
        dosed: When the dose was given.
        turned_away: When the person left without a dose.
        ended: When the chair was done with the person, stamped there and then.
        left: When the person left, or the end of their stay where nobody stamped it.
    """

    person: str
    booked: Instant | None = None
    registered: Instant | None = None
    screened: Instant | None = None
    seated: Instant | None = None
    chair: str = ""
    dosed: Instant | None = None
    turned_away: Instant | None = None
    ended: Instant | None = None
    left: Instant | None = None

    @property
    def came_by(self) -> Instant | None:
        """Return the first stamp, by which the person was here; None: stayed away."""
        stamps = (
            *(self.registered, self.screened, self.seated),
            *(self.dosed, self.turned_away),
        )
        return min((at for at in stamps if at is not None), default=None)

    @property
    def to_chair(self) -> timedelta | None:
        """Return the time from the last question to the first scan; None where not stamped."""
        if self.seated is None or self.screened is None or self.screened > self.seated:
            return None
        return self.seated - self.screened


@dataclass(frozen=True, slots=True)
class RecordedHalf:
    """One half hour: people who got ready and were seated, their mean wait, doses given."""

    starts: Instant
    ready: int
    wait: timedelta | None
    doses: int


@dataclass(frozen=True, slots=True)
class Recorded:
    """
    What a day came to, by its stamps.

    Args:
        booked: People booked for the day before it; `came`: of them, those with any stamp.
        walk_ups: People without a booking.
        seated: People scanned at a chair or given a dose.
        stamped: Of those seated, how many have a stamp of the screening before it.
        doses: Doses given.
        way: From the screening to a chair that is free.
        late_by: How long after the time booked the first stamp was, of each booked person who
            came, in order.
        waits: Those that are known, in order.
        last_dose: When; None without one.
        most_observed: At once.
        halves: The half hours.
    """

    booked: int
    came: int
    walk_ups: int
    seated: int
    stamped: int
    doses: int
    way: timedelta
    late_by: tuple[timedelta, ...]
    waits: tuple[timedelta, ...]
    last_dose: Instant | None
    most_observed: int
    halves: tuple[RecordedHalf, ...]

    @property
    def stayed_away(self) -> int:
        """Return the booked people who have no stamp of the day."""
        return self.booked - self.came

    @property
    def mean_wait(self) -> timedelta | None:
        """Return the mean of the waits that are known; None for none."""
        return _mean(self.waits)

    def over(self, promise: timedelta) -> int:
        """Return how many waits were longer."""
        return sum(wait > promise for wait in self.waits)


def way_to_chair(visits: Sequence[Visit]) -> timedelta:
    """
    Return the time from the screening to a chair that the quickest tenth of people need.

    Never longer than anybody would stand beside a free chair: on a day on which all wait, the
    quickest wait too.
    """
    known = sorted(each.to_chair for each in visits if each.to_chair is not None)
    return min(known[len(known) // _QUICKEST], PATIENCE) if known else timedelta(0)


def recorded(visits: Sequence[Visit], way: timedelta, begins: Instant, halves: int) -> Recorded:
    """
    Return what a day came to.

    Args:
        visits: Everybody booked or seen that day.
        way: From the screening to a chair that is free; no wait.
        begins: When the first half hour begins.
        halves: How many there are; the last one holds all that is later.
    """
    booked = [each for each in visits if each.booked is not None]
    came = [each for each in booked if each.came_by is not None]
    seated = [each for each in visits if each.seated is not None]
    doses = sorted(each.dosed for each in visits if each.dosed is not None)
    return Recorded(
        booked=len(booked),
        came=len(came),
        walk_ups=len(visits) - len(booked),
        seated=len(seated),
        stamped=sum(each.to_chair is not None for each in seated),
        doses=len(doses),
        way=way,
        late_by=tuple(sorted(_late_by(each) for each in came)),
        waits=tuple(sorted(wait for each in seated if (wait := _wait(each, way)) is not None)),
        last_dose=doses[-1] if doses else None,
        most_observed=most_at_once(
            [(v.dosed, v.left) for v in visits if v.dosed is not None and v.left is not None]
        ),
        halves=tuple(
            _half(seated, way, (doses, begins, number, halves)) for number in range(halves)
        ),
    )


def most_at_once(stays: Sequence[tuple[Instant, Instant]]) -> int:
    """Return the most people there at once; who leaves in an instant is not there any more."""
    moves = sorted([*((came, 1) for came, _ in stays), *((left, -1) for _, left in stays)])
    return max(accumulate(by for _, by in moves), default=0)


def _half(
    seated: Sequence[Visit],
    way: timedelta,
    of: tuple[Sequence[Instant], Instant, int, int],
) -> RecordedHalf:
    doses, begins, number, halves = of

    def within(at: Instant) -> bool:
        return min((at - begins) // HALF_HOUR, halves - 1) == number

    here = [each for each in seated if within(_in_line(each, way))]
    return RecordedHalf(
        starts=Instant(begins + number * HALF_HOUR),
        ready=len(here),
        wait=_mean([wait for each in here if (wait := _wait(each, way)) is not None]),
        doses=sum(within(at) for at in doses),
    )


def _in_line(visit: Visit, way: timedelta) -> Instant:
    """Return from when a seated person was in line: at the chair at the latest."""
    assert visit.seated is not None  # noqa: S101  asked of those who sat down
    if visit.screened is None:
        return visit.seated
    return min(Instant(visit.screened + way), visit.seated)


def _wait(visit: Visit, way: timedelta) -> timedelta | None:
    return None if visit.to_chair is None else max(visit.to_chair - way, timedelta(0))


def _late_by(visit: Visit) -> timedelta:
    assert visit.came_by is not None  # noqa: S101  asked of those who came
    assert visit.booked is not None  # noqa: S101  and were booked
    return visit.came_by - visit.booked


def _mean(waits: Sequence[timedelta]) -> timedelta | None:
    return sum(waits, timedelta(0)) / len(waits) if waits else None
