"""
The daily entry of a storage unit, and how often a logger reads, as printed.

Sources, read for the project's cold-chain notes (section 1.3, check L10):
Centers for Disease Control and Prevention, training modules of 16 November 2021 and 2 February
2024: minimum and maximum are checked and recorded at the start of each workday. Immunize.org,
Ask the Experts, Storage and Handling, 26 July 2023: a logger reads at least every 30 minutes.
The delay, the dead-band and the ten minutes between calls below are common practice, not print.
"""

from datetime import date, timedelta

import pytest
from tests.cast import CHICAGO, at

from thawline.adapters.rule_files import load
from thawline.base.instants import to_ms
from thawline.store.alarm_figures import alarm_figures
from thawline.store.readings import readings
from thawline.store.rounds import missing_entries
from thawline.store.watching import alerts

RULES = load("example-10-v2").protocol
TUESDAY = date(2026, 2, 3)


def test_a_workday_without_entry_is_a_missing_record():
    (found,) = missing_entries("fridge-1", TUESDAY, [], RULES.rounds.display, CHICAGO)

    assert found.code == "missing-record"
    assert found.says.startswith("workday without entry")


def test_an_entry_at_the_start_of_the_workday_leaves_it_not_without():
    start = [at("06:05")]

    found = missing_entries("fridge-1", TUESDAY, start, RULES.rounds.display, CHICAGO)

    assert not any(each.says.startswith("workday without entry") for each in found)


@pytest.mark.parametrize(("minutes", "silent"), [(30, 0), (31, 1)])
def test_a_logger_that_reads_every_30_minutes_is_in_order_and_one_of_31_is_not(minutes, silent):
    figures = alarm_figures(
        RULES.bands["refrigerator"], RULES.alarms["refrigerator"], RULES.logging
    )
    begins = to_ms(at("00:00"))
    times = [begins + count * minutes * 60_000 for count in range(20)]

    found = alerts(readings(times, [5_000] * 20), figures, times[-1])

    assert len(found) == silent


def test_a_night_worked_through_by_hand():
    """
    Common practice, worked by hand: a refrigerator read every 5 minutes, 2 to 8 °C.

    8.4 at 02:00 is the first reading out; five minutes later, still out, somebody is called.
    7.8 is inside and not by half a degree; 7.4 at 02:20 is. At 02:25 it has been so for five
    minutes, and it is over.
    """
    figures = alarm_figures(RULES.bands["refrigerator"], RULES.alarms["refrigerator"])
    degrees = [7.6, 8.4, 9.1, 8.2, 7.8, 7.4, 7.3, 7.2]
    begins = at("01:55")
    times = [to_ms(begins + count * timedelta(minutes=5)) for count in range(len(degrees))]

    (found,) = alerts(readings(times, [round(1000 * d) for d in degrees]), figures, times[-1])

    assert (found.since_ms, found.raised_ms) == (to_ms(at("02:00")), to_ms(at("02:05")))
    assert found.cleared_ms == to_ms(at("02:25"))
