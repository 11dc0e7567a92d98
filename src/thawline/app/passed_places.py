"""Places whose time has passed: who came, who walked in, who stayed away, by the record."""

from collections.abc import Iterator, Sequence
from datetime import date

from thawline.app.ports import Site
from thawline.app.standby import LATE
from thawline.base.instants import Instant, from_ms, local_date, local_time
from thawline.person.fold import Booking, PersonState
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.no_show import Visit

Booked = Sequence[tuple[PersonState, Booking]]
"""Each booking, with what is known of its person."""


def visits_before(site: Site, booked: Booked, day: date) -> Iterator[Visit]:
    """Yield the bookings of earlier days with what came of them."""
    for state, booking in booked:
        if _day(booking, site) < day:
            yield _visit(site, state, booking)


def visits_until(site: Site, booked: Booked, now: Instant) -> Iterator[Visit]:
    """Yield the bookings, also of today, whose people would have been here by now."""
    for state, booking in booked:
        if from_ms(booking.slot_ms) <= now - LATE:
            yield _visit(site, state, booking)


def _visit(site: Site, state: PersonState, booking: Booking) -> Visit:
    day = _day(booking, site)
    place = half_hour_of(from_ms(booking.slot_ms), site.zone)
    doses = [
        from_ms(dose.lo_ms)
        for dose in state.doses
        if local_date(from_ms(dose.lo_ms), site.zone) == day
    ]
    return Visit(
        day=day,
        half_hour=local_time(place, site.zone),
        walk_up=is_walk_up(booking, site),
        shift=(half_hour_of(doses[0], site.zone) - place) // HALF_HOUR if doses else None,
    )


def is_walk_up(booking: Booking, site: Site) -> bool:
    """Say whether the place was written down on its own day, for then or nearly then."""
    if booking.recorded_ms is None:
        return False
    recorded = from_ms(booking.recorded_ms)
    same_day = local_date(recorded, site.zone) == _day(booking, site)
    return same_day and from_ms(booking.slot_ms) <= recorded + LATE


def _day(booking: Booking, site: Site) -> date:
    return local_date(from_ms(booking.slot_ms), site.zone)
