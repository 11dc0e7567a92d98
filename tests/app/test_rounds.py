"""Which looks a day of work lacks, by what was recorded."""

from dataclasses import replace
from decimal import Decimal

from tests.app.cold_room import ALARMS, FREEZER
from tests.cast import ROWAN, a_day, at, codes, small

from thawline.app.hand_reading import Display, record_reading
from thawline.app.rounds import round_findings
from thawline.base.instants import local_date
from thawline.store.units import Followed, StorageUnit

TABLE = StorageUnit("table-1", "room", Followed.BY_HAND)


def a_room():
    day = a_day(small(ALARMS))
    day.site = replace(day.site, units=(FREEZER, TABLE))
    return day


def missing(day, clock, on=None):
    now = at(clock) if on is None else at(clock, day=on)
    with day.site.ledger.view() as view:
        return round_findings(day.site, view, local_date(at("12:00"), day.site.zone), now)


def read(day, unit, clock, degrees):
    doing = day.doing(clock, by=ROWAN)
    record_reading(day.site, doing, unit, Display(Decimal(degrees), reset=True))


def test_a_day_without_work_needs_no_entry():
    assert missing(a_room(), "12:00") == ()


def test_a_workday_without_entry_is_a_missing_record_and_a_table_is_due_every_hour():
    day = a_room()
    day.ready("06:35")

    assert codes(missing(day, "07:34")) == ["missing-record"]
    assert codes(missing(day, "07:35")) == ["table-not-read", "missing-record"]


def test_readings_that_were_taken_are_not_missing():
    day = a_room()
    day.ready("06:35")
    read(day, "freezer-1", "06:40", "-20")
    read(day, "table-1", "07:30", "21")
    read(day, "freezer-1", "07:40", "-20")

    assert missing(day, "08:00") == ()


def test_the_day_after_a_table_is_judged_until_the_last_entry_of_its_day():
    day = a_room()
    day.ready("06:35")
    read(day, "freezer-1", "07:00", "-20")

    assert codes(missing(day, "12:00", on=4)) == ["missing-record"]


def test_without_rounds_in_the_protocol_nothing_is_asked():
    day = a_day()
    day.ready("06:35")

    assert missing(day, "12:00") == ()
