"""A day as it is booked at a site, for its staffing: who is due, who stays away, walk-ups."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from thawline.app.passed_places import Booked, is_walk_up, visits_before
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, from_ms, local_date, local_time
from thawline.person.fold import PERSON
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.learned_demand import Earlier, WalkUps, earlier
from thawline.plan.no_show import percent

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class AskStaffed:
    """
    What is asked; what is None is learned from earlier days.

    Args:
        now: The moment.
        day: None: the next day with bookings.
        slot: Into which the day is cut up.
        no_show: The share that stays away.
        walk_ups_an_hour: People without a booking.
    """

    now: Instant
    day: date | None
    slot: timedelta
    no_show: float | None
    walk_ups_an_hour: float | None


@dataclass(frozen=True, slots=True)
class BookedDay:
    """
    A day as it is booked.

    Args:
        day: Its date.
        opens: The half hour of the first place.
        bookings: People booked for each slot from then on, to the end of the last half hour.
        walk_ups: People without a booking in each slot, on average; None: not known.
        no_show: The share of those booked that stays away.
        no_show_says: Who says so.
        walk_ups_say: Who says how many walk in.
        as_of: When the newest of the bookings was recorded; None: not known.
    """

    day: date
    opens: Instant
    bookings: tuple[int, ...]
    walk_ups: tuple[float, ...] | None
    no_show: float
    no_show_says: str
    walk_ups_say: str
    as_of: Instant | None


def booked_day(site: Site, ask: AskStaffed) -> BookedDay:
    """
    Return a day from the site's bookings; walk-ups of that day itself are left out.

    Raises:
        NotFoundError: Nobody is booked.
        RecordError: No share stays away is given and no earlier day teaches one, or the slots
            do not divide half an hour.
    """
    if ask.slot <= timedelta(0) or HALF_HOUR % ask.slot:
        raise RecordError(
            f"slots of {ask.slot / timedelta(minutes=1):g} min at a site",
            advice="5, 10, 15 or 30: slots that fill half an hour",
        )
    with site.ledger.view() as view:
        booked = [(state, b) for _, state in view.all(PERSON) for b in state.bookings]
    day, places = _places(site, booked, ask)
    opens, last = (half_hour_of(at(places), site.zone) for at in (min, max))
    slots = (last + HALF_HOUR - opens) // ask.slot
    half_hours = [
        local_time(Instant(opens + n * HALF_HOUR), site.zone)
        for n in range((last - opens) // HALF_HOUR + 1)
    ]
    known = earlier(visits_before(site, booked, day), half_hours)
    no_show, no_show_says = _no_show(ask, known)
    walking = _walk_ups(ask, known, half_hours)
    counts = Counter((place - opens) // ask.slot for place in places)
    recorded = [b.recorded_ms for _, b in booked if _day(site, b.slot_ms) == day]
    return BookedDay(
        day=day,
        opens=opens,
        bookings=tuple(counts[n] for n in range(slots)),
        walk_ups=_by_slot(walking, half_hours, HALF_HOUR // ask.slot),
        no_show=no_show,
        no_show_says=no_show_says,
        walk_ups_say=walking.says,
        as_of=max((from_ms(at) for at in recorded if at), default=None),
    )


def _places(site: Site, booked: Booked, ask: AskStaffed) -> tuple[date, list[Instant]]:
    """Return the day and everybody's place on it."""
    today = local_date(ask.now, site.zone)
    due = [b for _, b in booked if not is_walk_up(b, site)]
    days = {_day(site, b.slot_ms) for b in due}
    day = ask.day or min((each for each in days if each >= today), default=None)
    if day is None or day not in days:
        when = "from today on" if day is None else f"on {day.isoformat()}"
        raise NotFoundError(f"nobody is booked {when}", advice="thawline booking list")
    return day, [from_ms(b.slot_ms) for b in due if _day(site, b.slot_ms) == day]


def _no_show(ask: AskStaffed, known: Earlier) -> tuple[float, str]:
    if ask.no_show is not None:
        return ask.no_show, f"{percent(ask.no_show)} given by hand"
    if known.no_show is None:
        raise RecordError(
            "no no-show share is given, and there is no earlier day here to learn from",
            advice="add --no-show 0.08",
        )
    return known.no_show.mean, f"{percent(known.no_show.mean)}, {known.no_show.says}"


def _walk_ups(ask: AskStaffed, known: Earlier, half_hours: Sequence[time]) -> WalkUps:
    if ask.walk_ups_an_hour is None:
        return known.walk_ups
    each = ask.walk_ups_an_hour * (HALF_HOUR / _HOUR)
    says = f"{ask.walk_ups_an_hour:g} an hour given by hand"
    return WalkUps(dict.fromkeys(half_hours, each), says)


def _by_slot(
    walking: WalkUps, half_hours: Sequence[time], each: int
) -> tuple[float, ...] | None:
    """Return walk-ups by slot, even within a half hour; None where no day teaches any."""
    if not walking.mean:
        return None
    return tuple(walking.mean[half] / each for half in half_hours for _ in range(each))


def _day(site: Site, slot_ms: int) -> date:
    return local_date(from_ms(slot_ms), site.zone)
