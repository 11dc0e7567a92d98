"""
Second doses by day: who has a place or was moved there, what is free, who is due without one.

Days are local. How many places a day has is asked of the site's settings and not guessed.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from uuid import UUID

from thawline.app.elsewhere import days_elsewhere
from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.draw.second_days import Cell, SecondDays, Week
from thawline.ledger.entries import View
from thawline.ledger.second_dose_events import SecondDosesMoved
from thawline.person.fold import PERSON, Booking, PersonState
from thawline.rebook.series import DoseDay
from thawline.rebook.to_come import day_of, second_doses_to_come

MOST_WEEKS = 13
"""A quarter of a year: what comes later waits for its turn on the page."""
_FIRST = 1
_WEEKDAYS = 7


def calendar(site: Site, title: str, view: View, today: date) -> SecondDays:
    """
    Return each week with places to come or first days of a dose, `MOST_WEEKS` at most.

    Raises:
        RuleError: The site has adopted no protocol.
    """
    places = [each for each in _second_places(view) if day_of(each) >= today]
    due = _due(site, view, today)
    first, last = _ends([*map(day_of, places), *due], today)
    people = Counter(day_of(each) for each in places)
    acts = {each.entry: _is_move(view, each.entry) for each in places}
    moved = Counter(day_of(each) for each in places if acts[each.entry])
    monday = first - timedelta(days=first.weekday())
    weeks = min(MOST_WEEKS, (last - monday).days // _WEEKDAYS + 1)
    rows = []
    for week in range(weeks):
        start = monday + timedelta(days=_WEEKDAYS * week)
        days = [start + timedelta(days=each) for each in range(_WEEKDAYS)]
        cells = [
            Cell(day, people[day], moved[day], _places(site, day), due[day]) for day in days
        ]
        rows.append(Week(f"week of {start.day} {start:%b}", cells))
    return SecondDays(f"Second doses at {title}", rows, site.demo)


def _due(site: Site, view: View, today: date) -> Counter[date]:
    """Return by their first day how many have no place yet; not those whose day has come."""
    then = DoseDay(today, today + timedelta(days=MOST_WEEKS * _WEEKDAYS))
    waits = second_doses_to_come(view.all(PERSON), then, cache(rules_by_time(site, view)))
    elsewhere = days_elsewhere(view, today)
    return Counter(
        each.awaited.due
        for each in waits.people
        if each.awaited.due > today and each.person not in elsewhere
        if each.place_day is None or each.place_day < today
    )


def _ends(days: list[date], today: date) -> tuple[date, date]:
    """Return the first and the last day to be shown; two weeks from today where none is."""
    if not days:
        return today, today + timedelta(days=_WEEKDAYS)
    return min(days), max(days)


def _second_places(view: View) -> Iterator[Booking]:
    for _, state in view.all(PERSON):
        if not any(dose.dose_number > _FIRST for dose in state.doses):
            yield from _of_second(state)


def _of_second(state: PersonState) -> Iterator[Booking]:
    return (each for each in state.bookings if each.dose_number > _FIRST)


def _is_move(view: View, act: str) -> bool:
    entry = view.entry(UUID(act))
    return entry is not None and isinstance(entry.event, SecondDosesMoved)


def _places(site: Site, day: date) -> int | None:
    """Return the places of a day; None where the site's settings do not say."""
    known = site.second_places
    return None if known is None else known.on.get(day, known.a_day)
