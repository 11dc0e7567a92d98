"""
Fifty small logger files, one trait each: how each is read, typed by hand.

All invented; places are those of the invented district. Central time is UTC-06:00 in February
and UTC-05:00 in July (time zone database), Denver's is UTC-07:00; °F are °C times 1.8 plus 32.
"""

import pytest
from tests.exchange.loggers.reading import bytes_of, read, reading

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.layout import Unit

C, F = Unit.CELSIUS, Unit.FAHRENHEIT
EIGHT = "2026-02-03T14:00:00"
FIVE_PAST = "2026-02-03T14:05:00"
TEN_PAST = "2026-02-03T14:10:00"

# file, what is asked, (delimiter, order, unit, line of first reading), readings, first, last
CASES = [
    ("plain.csv", {}, (",", "ymd", C, 2), 3, (EIGHT, 5000), (TEN_PAST, 4900)),
    ("no-header.csv", {"unit": C}, (",", "ymd", C, 1), 3, (EIGHT, 5000), (TEN_PAST, 4900)),
    (
        *("header-block.txt", {}, (";", "dmy", C, 10), 3),
        *(("2026-02-03T13:50:00", 4800), ("2026-02-13T14:10:00", 5100)),
    ),
    (
        *("header-of-30-lines.txt", {}, ("\t", "ymd", F, 31), 2),
        *(("2026-02-04T03:00:00", 5000), ("2026-02-04T03:15:00", 6000)),
    ),
    (
        *("date-and-time-apart.csv", {}, (",", "ymd", C, 2), 2),
        *((EIGHT, 5000), ("2026-02-03T14:00:30", 5100)),
    ),
    ("numbered.csv", {}, (",", "ymd", C, 2), 3, (EIGHT, 5000), (TEN_PAST, 5300)),
    (
        *("numbered-without-names.csv", {"unit": C}, (",", "ymd", C, 1), 3),
        *((EIGHT, 5000), (TEN_PAST, 5300)),
    ),
    (
        *("twelve-hours.csv", {}, (",", "mdy", F, 2), 3),
        *(("2026-02-14T05:55:00", 5000), ("2026-02-14T06:05:00", 4000)),
    ),
    (
        *("day-over-twelve.csv", {}, (",", "dmy", C, 2), 2),
        *((EIGHT, 5000), ("2026-02-13T14:00:00", 5500)),
    ),
    (
        *("over-midnight.csv", {}, (",", "dmy", C, 2), 3),
        *(("2026-02-02T05:50:00", 5000), ("2026-02-02T06:00:00", 5200)),
    ),
    (
        *("month-first-over-midnight.csv", {}, (",", "mdy", C, 2), 3),
        *(("2026-02-02T05:50:00", 5000), ("2026-02-02T06:00:00", 5200)),
    ),
    (
        *("form-stated.txt", {}, (";", "dmy", C, 3), 2),
        *((EIGHT, 5000), ("2026-02-03T14:30:00", 5500)),
    ),
    (
        *("months-in-words.csv", {}, (",", "dmy", C, 2), 2),
        *((EIGHT, 5000), ("2026-02-03T20:00:00", 5500)),
    ),
    ("decimal-comma.csv", {}, (";", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, -500)),
    ("decimal-comma-quoted.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5250)),
    ("tabs.txt", {}, ("\t", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("bars.txt", {}, ("|", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("all-quoted.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("fahrenheit-over-the-table.txt", {}, (",", "ymd", F, 4), 2),
        *(("2026-02-03T19:00:00", 2222), ("2026-02-03T19:05:00", 8000)),
    ),
    (
        *("fahrenheit-in-the-column.csv", {}, (",", "ymd", F, 2), 2),
        *(("2026-02-03T19:00:00", 2000), ("2026-02-03T19:05:00", -20000)),
    ),
    ("unit-with-each-value.csv", {}, (";", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, -20250)),
    ("utf-8-mark.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("utf-16.txt", {}, ("\t", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("utf-16-without-mark.txt", {}, ("\t", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("western.csv", {}, (";", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("alarm-flags.csv", {}, (",", "ymd", C, 2), 3, (EIGHT, 7900), (TEN_PAST, 8600)),
    ("event-marks.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("humidity.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    ("summary-below.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("two-probes.csv", {"probe": "Bottom shelf"}, (",", "ymd", C, 2), 2),
        *((EIGHT, 4000), (FIVE_PAST, 4100)),
    ),
    (
        *("probe-in-each-row.csv", {"probe": "fridge 2"}, (",", "ymd", C, 2), 2),
        *((EIGHT, 5000), (FIVE_PAST, 5200)),
    ),
    (
        *("clock-drift.txt", {}, (",", "ymd", C, 5), 2),
        *((EIGHT, 5000), ("2026-02-03T14:15:00", 5200)),
    ),
    (
        *("zone-above.txt", {}, (",", "ymd", C, 4), 2),
        *(("2026-02-03T15:00:00", 5000), ("2026-02-03T15:05:00", 5200)),
    ),
    (
        *("offset-above.txt", {}, (",", "ymd", C, 4), 2),
        *(("2026-07-03T14:00:00", 5000), ("2026-07-03T14:05:00", 5200)),
    ),
    ("offset-with-each-time.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("utc-over-the-column.csv", {}, (",", "ymd", C, 2), 2),
        *(("2026-02-03T08:00:00", 5000), ("2026-02-03T08:05:00", 5200)),
    ),
    (
        *("local-and-utc.csv", {}, (",", "ymd", C, 2), 2),
        *(("2026-02-03T08:00:00", 5000), ("2026-02-03T08:05:00", 5200)),
    ),
    ("elapsed-beside.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("spanish.csv", {}, (";", "dmy", C, 2), 2),
        *(("2026-02-14T05:55:00", 5000), ("2026-02-14T06:00:00", 5200)),
    ),
    ("delimiter-declared.csv", {}, (";", "ymd", C, 3), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("fractions-of-seconds.csv", {}, (",", "ymd", C, 2), 2),
        *(("2026-02-03T14:00:00.250", 5000), ("2026-02-03T14:00:01.250", 5200)),
    ),
    ("units-on-a-second-line.csv", {}, (";", "ymd", C, 3), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("autumn-both-passes.csv", {}, (",", "ymd", C, 2), 6),
        *(("2026-11-01T05:30:00", 5000), ("2026-11-01T08:00:00", 5500)),
    ),
    (
        *("autumn-one-pass.csv", {}, (",", "ymd", C, 2), 2),
        *(("2026-11-01T05:30:00", 5000), ("2026-11-01T08:00:00", 5500)),
    ),
    (
        *("spring.csv", {}, (",", "ymd", C, 2), 2),
        *(("2026-03-08T07:30:00", 5000), ("2026-03-08T08:00:00", 5200)),
    ),
    ("newest-first.csv", {}, (",", "ymd", C, 2), 3, (TEN_PAST, 5200), (EIGHT, 5000)),
    (
        *("no-values.csv", {}, (",", "ymd", C, 2), 2),
        *((FIVE_PAST, 5100), ("2026-02-03T14:25:00", 5300)),
    ),
    ("cut-off.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 12500)),
    ("whole-without-an-end.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 12500)),
    ("carriage-returns.txt", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("weekdays.csv", {}, (",", "dmy", C, 2), 2),
        *((EIGHT, 5000), ("2026-02-13T14:05:00", 5200)),
    ),
    ("extremes-beside.csv", {}, (",", "ymd", C, 2), 2, (EIGHT, 5000), (FIVE_PAST, 5200)),
    (
        *("faults-kept.csv", {}, (",", "ymd", C, 2), 4),
        *((EIGHT, 5000), ("2026-02-03T14:15:00", 5100)),
    ),
    (
        *("time-before-date.csv", {}, (";", "dmy", C, 2), 2),
        *(("2026-02-13T14:00:00", 5000), ("2026-02-13T14:05:00", 5200)),
    ),
    (
        *("two-digit-year.csv", {"date_order": DateOrder.DMY}, (";", "dmy", C, 2), 2),
        *(("2026-02-13T14:00:00", 5000), ("2026-02-13T14:05:00", 5200)),
    ),
]


@pytest.mark.parametrize(
    ("name", "asked", "laid_out", "count", "first", "last"), CASES, ids=[c[0] for c in CASES]
)
def test_a_file_with_one_trait_is_read_as_a_person_would(
    name, asked, laid_out, count, first, last
):
    layout, record = read(bytes_of(name), **asked)

    assert (
        layout.delimiter,
        layout.time.order.value,
        record.probe.unit,
        layout.first_line,
    ) == laid_out
    assert len(record.readings) == count
    assert (reading(record, 0), reading(record, -1)) == (first, last)
