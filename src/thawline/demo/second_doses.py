"""People who come for their second dose a day too early, and those who are due."""

from dataclasses import dataclass
from datetime import date, time, timedelta

from thawline.app.acts import Doing
from thawline.app.bookings import Loaded, load_bookings
from thawline.app.doses import find
from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.app.second import due_on
from thawline.base.instants import exactly, local_instant
from thawline.demo.building import Built
from thawline.demo.district import dice
from thawline.demo.figures import people_with_dose
from thawline.demo.incidents import ASK_AGAIN
from thawline.exchange.bookings import BookingRow, ReadBookings
from thawline.rebook.interval import second_dates
from thawline.rebook.series import on_day

_OPENS = time(8)
_PLACE = time(10)


@dataclass(frozen=True, slots=True)
class Asked:
    """
    What the front desk answers those who ask for a second dose on a day, and on the next.

    `due` are due on the day itself, `due_next` on the day after it.
    """

    on: date
    next_day_on: date
    people: tuple[tuple[str, str], ...]  # code and name
    answered: Loaded
    next_day: Loaded
    due: int
    due_next: int


def ask_a_day_early(built: Built) -> Asked:
    """Ask for places on the day before the first allowed one; nothing is recorded."""
    next_day = _first_day(built)
    on = next_day - timedelta(days=1)
    throws = dice(built.seed, "second doses")
    codes = sorted(throws.sample(people_with_dose(built), ASK_AGAIN))
    names = [find(built.site, code)[0].name for code in codes]
    return Asked(
        on=on,
        next_day_on=next_day,
        people=tuple((c, n.called if n else "?") for c, n in zip(codes, names, strict=True)),
        answered=_ask(built, codes, on, on),
        next_day=_ask(built, codes, on, next_day),
        due=_due(built.site, on),
        due_next=_due(built.site, next_day),
    )


def _first_day(built: Built) -> date:
    """Return the first day on which a dose after the demo's day may be booked."""
    with built.site.ledger.view() as view:
        rule = rules_by_time(built.site, view)(on_day(built.day))
    return second_dates(built.day, rule).earliest_bookable


def _ask(built: Built, codes: list[str], asked_on: date, wanted: date) -> Loaded:
    """Ask the front desk for places on a day, as it would be asked with --dry-run."""
    asked_at = local_instant(asked_on, _OPENS, built.site.zone)
    slot = local_instant(wanted, _PLACE, built.site.zone)
    rows = tuple(
        BookingRow(line=line, slot=slot, dose_number=2, person=code)
        for line, code in enumerate(codes, 1)
    )
    doing = Doing(
        by=built.crew.registrars[0],
        occurred=exactly(asked_at),
        recorded_at=asked_at,
        id=built.site.mint(),
        dry_run=True,
    )
    return load_bookings(built.site, doing, ReadBookings(rows, (), (), "asked", ()))


def _due(site: Site, on: date) -> int:
    return len(due_on(site, on)[1].due)
