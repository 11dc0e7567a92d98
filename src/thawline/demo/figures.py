"""What the ledger says about the demo's day: who came, who had a dose, and by when."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.app.ports import Site
from thawline.base.instants import Instant, from_ms, local_time, midnight_before, to_ms
from thawline.demo.building import Built
from thawline.draw.against_plan import SoFar
from thawline.person.fold import PERSON, PersonState
from thawline.plan.thaw import Need

_HALF_HOUR = timedelta(minutes=30)
_EVERY = 2  # half-hours from one line of the picture to the next


@dataclass(frozen=True, slots=True)
class DayFigures:
    """
    The people and doses of a day, counted from the ledger.

    Walk-ups are those who were booked on the day itself.
    """

    booked: int
    booked_with_dose: int
    walk_ups: int
    walk_ups_with_dose: int
    given: int
    no_arm: int
    first: Instant
    last: Instant

    @property
    def an_hour(self) -> float:
        """Return the doses given in an hour, from the first dose to the last."""
        return self.given / ((self.last - self.first) / timedelta(hours=1))


def day_figures(built: Built) -> DayFigures:
    """Return the figures of the demo's day."""
    states = _people(built.site)
    day_began = to_ms(midnight_before(built.day, built.site.zone))
    before = [state for state in states if _was_booked(state, day_began)]
    walk_ups = [state for state in states if not _was_booked(state, day_began)]
    doses = [dose for state in states for dose in state.doses]
    times = sorted(dose.lo_ms for dose in doses)
    return DayFigures(
        booked=len(before),
        booked_with_dose=sum(bool(state.doses) for state in before),
        walk_ups=len(walk_ups),
        walk_ups_with_dose=sum(bool(state.doses) for state in walk_ups),
        given=len(doses),
        no_arm=sum(dose.arm is None for dose in doses),
        first=from_ms(times[0]),
        last=from_ms(times[-1]),
    )


def given_against_plan(built: Built) -> tuple[SoFar, ...]:
    """Return by each full hour the doses given and the people that the plan expected."""
    times = [dose.lo_ms for state in _people(built.site) for dose in state.doses]
    needs = built.planned.plan.needs
    rows = [_so_far(need, times, built.site) for need in needs[_EVERY - 1 :: _EVERY]]
    return (*rows, SoFar("close", len(times), rows[-1].planned))


def people_with_dose(built: Built) -> tuple[str, ...]:
    """Return the codes of those who had a dose, in order."""
    with built.site.ledger.view() as view:
        return tuple(code for code, state in view.all(PERSON) if state.doses)


def _so_far(need: Need, times: Iterable[int], site: Site) -> SoFar:
    end = Instant(need.starts + _HALF_HOUR)
    given = sum(at < to_ms(end) for at in times)
    return SoFar(_clock(end, site), given, need.people_so_far.likely)


def _clock(at: Instant, site: Site) -> str:
    return local_time(at, site.zone).strftime("%H:%M")


def _people(site: Site) -> Sequence[PersonState]:
    with site.ledger.view() as view:
        return [state for _, state in view.all(PERSON)]


def _was_booked(state: PersonState, before_ms: int) -> bool:
    return any((b.recorded_ms or 0) < before_ms for b in state.bookings)
