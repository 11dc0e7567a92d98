"""
A short Tuesday at Harrowmint, on disk: from two frozen cartons to the signatures of two people.

The clock is moved by hand; the protocol is the made-up one of `tests/cast.py`, whose vials
hold 8 doses and stay good for 5 hours once open. One syringe is not found at the end.
"""

from itertools import count
from pathlib import Path
from uuid import UUID

import pytest
from tests.cast import (
    BRYONY,
    EXPIRY,
    FREEZER,
    HAZEL,
    LOT,
    PINS,
    ROWAN,
    SORREL,
    at,
    codes,
    small,
)

from thawline.adapters import sites
from thawline.adapters.checkup import look_at_site
from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.missing_dose import weights
from thawline.adapters.pins import FilePins
from thawline.adapters.wiring import make_site, open_site
from thawline.app.acts import Doing, act, second_person
from thawline.app.adoption import adopt
from thawline.app.closing import close_out, not_found, sign
from thawline.app.closing import count as count_doses
from thawline.app.doses import check, give, not_given, unrecorded
from thawline.app.in_hand import Needle
from thawline.app.receiving import Label, receive_frozen
from thawline.app.vials import discard, draw, move, open_vial, take_out, waste
from thawline.base.errors import RecordError, RefusedError, SecondPersonError
from thawline.base.findings import Level
from thawline.base.instants import exactly, local_date, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import PersonBooked
from thawline.ledger.site import KEY, SITE
from thawline.receive.inspection import Arrival

CHAIR = "chair 3"
PEOPLE = [f"DEMO-{number:06}" for number in range(1, 9)]


class Day:
    """The site, reopened for every act as the command line does, and the hand of its clock."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.now = at("00:30")
        numbers = count(1)
        self.mint = lambda: UUID(int=next(numbers))
        settings = sites.Settings("harrowmint", "Harrowmint", "America/Chicago", demo=True)
        self.folder = make_site(home, settings, UUID(int=7_000))
        for name, pin in PINS.items():
            FilePins(self.folder / sites.KEYS).put(name, pin)

    @property
    def site(self):
        """Return the site, opened anew."""
        return open_site(self.home, now=lambda: self.now, mint=self.mint)

    def by(self, name: str, clock: str, *, two: str = "", why: str = "") -> Doing:
        """Return an act at a time of the day; `two` is there by their own PIN."""
        self.now = max(self.now, at(clock))
        second = second_person(self.site, name, two, PINS[two]) if two else None
        return Doing(
            by=name,
            occurred=exactly(at(clock)),
            recorded_at=self.now,
            id=self.mint(),
            why=why,
            station=CHAIR,
            second=second,
        )

    def close_out(self):
        """Return what two people look at before they sign."""
        return close_out(self.site, local_date(self.now, self.site.zone), self.now, weights())

    def sign(self, clock: str, two: str = BRYONY):
        """Sign the day by two people."""
        doing = self.by(ROWAN, clock, two=two)
        return sign(self.site, doing, local_date(doing.at, self.site.zone), weights())


def screened(person: str, code: str) -> Needle:
    return Needle(person, syringe=code, screened_by=SORREL, screening="give-15")


def morning(day: Day) -> tuple[str, tuple[str, ...]]:
    """Adopt, receive, book, thaw, open and draw all 8 doses of a vial."""
    file = small()
    KeptRules(day.folder / sites.PROTOCOLS).keep(file)
    adopt(day.site, day.by(ROWAN, "00:30", two=BRYONY), file)
    arrival = Arrival(10, listed_vials=10)
    receive_frozen(day.site, day.by(ROWAN, "01:00"), Label(LOT, EXPIRY), FREEZER, arrival)
    for person in PEOPLE:
        book(day, person)
    doing = day.by(ROWAN, "04:00")
    vial, _spare = take_out(day.site, doing, LOT, FREEZER, 2, "fridge").event.vials
    move(day.site, day.by(ROWAN, "06:35"), [vial], "table")
    open_vial(day.site, day.by(HAZEL, "07:00"), vial)
    return vial, draw(day.site, day.by(HAZEL, "07:05"), vial, 8).event.syringes


def book(day: Day, person: str) -> None:
    event = PersonBooked(person=person, slot_ms=to_ms(at("08:00")), dose_number=1)
    command = {"command": "booking", "person": person}
    act(day.site, day.by(ROWAN, "01:30"), command, lambda _: Decision(event), kind=Kind.FACT)


def forenoon(day: Day, syringes: tuple[str, ...]) -> None:
    """Five people have their dose, one goes home; a syringe drops, one is not seen again."""
    for minute, (person, syringe) in enumerate(zip(PEOPLE[:5], syringes, strict=False)):
        check(day.site, day.by(HAZEL, f"08:{minute}0"), screened(person, syringe))
        give(day.site, day.by(HAZEL, f"08:{minute}2"), screened(person, syringe))
    check(day.site, day.by(HAZEL, "09:00"), screened(PEOPLE[5], syringes[5]))
    waste(
        day.site, day.by(HAZEL, "09:20", why="dropped"), f"syringe:{syringes[6]}", 1, "spilled"
    )


@pytest.fixture
def noon(tmp_path):
    """The day at noon, with its vial and its syringes."""
    day = Day(tmp_path)
    vial, syringes = morning(day)
    forenoon(day, syringes)
    return day, vial, syringes


def test_the_next_person_at_the_chair_brings_up_the_one_before(noon):
    day, _, syringes = noon

    outcome = check(day.site, day.by(HAZEL, "09:30"), screened(PEOPLE[6], syringes[7]))

    to_answer = [each for each in outcome.findings if each.level is not Level.CHECK]
    assert codes(to_answer) == ["dose-not-recorded"]
    assert PEOPLE[5] in outcome.findings[0].says


def test_a_day_with_drawn_syringes_cannot_be_signed(noon):
    day, _, syringes = noon

    with pytest.raises(RefusedError) as refusal:
        day.sign("12:10")
    assert codes(refusal.value.findings) == ["syringe-left", "syringe-left"]
    assert [search.gap.account for search in day.close_out().searches] == [
        f"syringe:{syringes[5]}",
        f"syringe:{syringes[7]}",
    ]


def test_the_close_out_sends_people_to_the_one_who_was_checked_with_it(noon):
    day, _, syringes = noon
    day.now = at("12:10")

    missing = day.close_out().searches[0]

    assert missing.gap.account == f"syringe:{syringes[5]}"
    assert len(missing.places) <= 3
    assert PEOPLE[5] in missing.places[0].reason


def resolve(day: Day, vial: str, syringes: tuple[str, ...]) -> None:
    """Ask the person, look for the syringe, count, and discard the empty vial."""
    site = day.site
    not_given(site, day.by(ROWAN, "12:20", why="asked by phone: went home"), PEOPLE[5])
    waste(site, day.by(HAZEL, "12:25"), f"syringe:{syringes[5]}", 1, "use-by")
    doing = day.by(ROWAN, "12:30", two=SORREL, why="looked in trays, bins and pockets")
    not_found(site, doing, f"syringe:{syringes[7]}", LOT, 1)
    discard(site, day.by(HAZEL, "12:35"), vial, "leftover")
    count_doses(site, day.by(SORREL, "12:40"), f"stock:{FREEZER}", LOT, 64)


def test_one_person_names_no_dose_missing(noon):
    day, _, syringes = noon
    alone = day.by(ROWAN, "12:30", why="looked")

    with pytest.raises(SecondPersonError):
        not_found(day.site, alone, f"syringe:{syringes[7]}", LOT, 1)


def test_once_everything_is_answered_two_people_close_the_day(noon):
    day, vial, syringes = noon
    resolve(day, vial, syringes)

    event = day.sign("13:00").event

    assert (event.received, event.given, event.wasted, event.missing, event.left) == (
        *(80, 5, 2, 1),
        72,
    )
    assert event.second == BRYONY
    found = day.close_out()
    assert (found.whole.balances, found.signed, found.blockers) == (True, True, ())
    assert unrecorded(day.site) == []


def test_the_closed_day_is_whole_when_it_is_read_anew(noon):
    day, vial, syringes = noon
    resolve(day, vial, syringes)
    day.sign("13:00")

    looks = list(look_at_site(day.home, "harrowmint", day.now))

    assert [finding for look in looks for finding in look.findings] == []
    with day.site.ledger.view() as view:
        assert view.one(SITE, KEY).closed == ("2026-02-03",)


def test_a_day_is_not_signed_a_second_time(noon):
    day, vial, syringes = noon
    resolve(day, vial, syringes)
    day.sign("13:00")

    with pytest.raises(RecordError, match="closed already"):
        day.sign("13:05")
