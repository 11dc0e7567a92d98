"""Each line is a reading or is listed with why it is none; nothing is chosen for the person."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.exchange.loggers.reading import bytes_of, read, reading

from thawline.base.errors import ExchangeError
from thawline.exchange.loggers.gathered import thousandths
from thawline.exchange.loggers.layout import Unit
from thawline.exchange.loggers.lines import blocks_of
from thawline.exchange.loggers.record import Why
from thawline.exchange.loggers.rows import chosen_probe, read_record

HEADER = "time,temp °C\n"


def _left(name, **asked):
    _, record = read(bytes_of(name), **asked)
    return [(each.line, each.text, each.why) for each in record.not_read]


def test_blank_and_broken_values_are_listed_with_their_line():
    assert _left("no-values.csv") == [
        (2, "2026-02-03 08:00,---", Why.NO_VALUE),
        (4, "2026-02-03 08:10,ERR", Why.NO_VALUE),
        (5, "2026-02-03 08:15,", Why.NO_VALUE),
        (6, "2026-02-03 08:20,NaN", Why.NO_VALUE),
    ]


def test_a_summary_below_the_table_is_no_reading():
    assert [(line, why) for line, _, why in _left("summary-below.csv")] == [
        (5, Why.NO_TIME),
        (6, Why.NO_TIME),
        (7, Why.NO_TIME),
        (8, Why.NO_TIME),
    ]


def test_an_event_mark_between_readings_is_no_reading():
    assert _left("event-marks.csv") == [(3, "2026-02-03 08:02,,door opened", Why.EVENT)]


def test_a_last_line_that_may_be_cut_off_is_not_read():
    assert _left("cut-off.csv") == [(4, "2026-02-03 08:10,1", Why.CUT_OFF)]


def test_a_last_line_without_an_end_is_read_where_nothing_can_be_missing():
    assert _left("whole-without-an-end.csv") == []


def test_a_faulty_value_is_kept_for_the_store_room_to_judge():
    _, record = read(bytes_of("faults-kept.csv"))

    assert [int(temp) for temp in record.readings.temp_mc] == [5000, 85000, -127000, 5100]


def test_the_autumn_hour_is_told_apart_by_the_order_of_the_rows():
    _, record = read(bytes_of("autumn-both-passes.csv"))

    assert [reading(record, place) for place in range(1, 5)] == [
        ("2026-11-01T06:00:00", 5100),
        ("2026-11-01T06:30:00", 5200),
        ("2026-11-01T07:00:00", 5300),
        ("2026-11-01T07:30:00", 5400),
    ]


def test_disorder_within_an_autumn_hour_is_no_second_pass():
    rows = "".join(f"2026-11-01 01:{minute:02},5.0\n" for minute in (0, 5, 15, 10, 20, 25))
    _, record = read((HEADER + "2026-11-01 00:55,5.0\n" + rows).encode())

    assert [each.why for each in record.not_read] == [Why.REPEATED] * 6
    assert len(record.readings) == 1


def test_an_autumn_hour_with_one_pass_is_not_known_and_its_temperatures_are_kept():
    _, record = read(bytes_of("autumn-one-pass.csv"))

    assert [(each.line, each.why) for each in record.not_read] == [
        (3, Why.REPEATED),
        (4, Why.REPEATED),
    ]
    assert [int(temp) for temp in record.unplaced_mc] == [5100, 9200]


def test_a_time_that_the_clocks_skip_is_reported_and_its_temperature_kept():
    _, record = read(bytes_of("spring.csv"))

    assert [(each.line, each.text, each.why) for each in record.not_read] == [
        (3, "2026-03-08T02:00:00", Why.SKIPPED)
    ]
    assert [int(temp) for temp in record.unplaced_mc] == [5100]


def test_a_time_that_cannot_be_read_beside_a_temperature_is_kept_for_judging():
    _, record = read((HEADER + "2026-02-03 08:00,5.0\n2026-02-31 08:05,9.9\n").encode())

    assert [(each.line, each.why, each.temp_mc) for each in record.not_read] == [
        (3, Why.NO_TIME, 9900)
    ]


def test_times_going_backwards_over_midnight_stay_in_the_order_of_the_file():
    _, record = read(
        (HEADER + "2026-02-03 23:55,5.0\n2026-02-03 00:00,5.1\n2026-02-04 00:05,5.2\n").encode()
    )

    assert [reading(record, place)[0] for place in range(3)] == [
        "2026-02-04T05:55:00",
        "2026-02-03T06:00:00",
        "2026-02-04T06:05:00",
    ]


def test_a_unit_that_changes_far_below_is_refused_with_both_lines():
    rows = "".join(f"2026-02-03 08:{n:02},5.0 °C\n" for n in range(30))

    with pytest.raises(ExchangeError, match=r"two units in one file.*line 32: 41 °F"):
        read(("time,temp\n" + rows + "2026-02-03 08:30,41 °F\n").encode())


def test_a_second_header_with_another_unit_far_below_is_refused():
    rows = "".join(f"2026-02-03 08:{n:02},5.0\n" for n in range(30))
    layout, _ = read((HEADER + rows).encode())
    below = (HEADER + rows + "time,temp °F\n2026-02-03 08:30,41\n").encode()

    with pytest.raises(ExchangeError, match=r"two units in one file.*line 32: time temp °F"):
        read_record(blocks_of([below], "utf-8"), layout, chosen_probe(layout, None))


def test_rows_that_name_several_probes_are_asked_about():
    with pytest.raises(ExchangeError) as refused:
        read(bytes_of("probe-in-each-row.csv"))

    assert refused.value.says == "several probes; there are: Freezer 1, Fridge 2"
    assert refused.value.advice == "say which, as in --probe 'Freezer 1'"


def test_a_probe_that_no_row_names_is_refused():
    with pytest.raises(ExchangeError, match="no row about a probe called 'Freezer 9'"):
        read(bytes_of("probe-in-each-row.csv"), probe="Freezer 9")


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("46.4", Unit.FAHRENHEIT, 8000),
        ("-40", Unit.FAHRENHEIT, -40000),
        ("35,6", Unit.FAHRENHEIT, 2000),
        ("8.000000000000002", Unit.CELSIUS, 8000),
        ("8.001", Unit.CELSIUS, 8001),
        ("10000", Unit.CELSIUS, None),
    ],
)
def test_temperatures_become_whole_thousandths_of_a_degree(text, unit, expected):
    assert thousandths(text, unit) == expected


@given(
    st.text(alphabet="ab°,\n\r", max_size=40),
    st.integers(1, 5),
    st.sampled_from(["utf-8", "utf-16-le"]),
)
def test_lines_are_the_same_however_the_bytes_come(text, size, codec):
    raw = text.encode(codec)
    pieces = [raw[at : at + size] for at in range(0, len(raw), size)]
    split = [line for block in blocks_of(pieces, codec) for line in block.lines]
    whole = [line for block in blocks_of([raw], codec) for line in block.lines]

    assert split == whole
