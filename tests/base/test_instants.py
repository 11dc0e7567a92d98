"""
Time: instants in UTC, dates at a place, and the two nights when clocks change.

Clock changes are those of the IANA zone data: in 2026 America/Chicago goes from 02:00 to 03:00
on 8 March and from 02:00 back to 01:00 on 1 November; Lord Howe Island shifts by half an hour;
Samoa had no 30 December 2011.
"""

from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo, available_timezones

import pytest

from thawline.base.errors import LocalTimeError, NaiveTimeError, RecordError, UnknownZoneError
from thawline.base.instants import (
    Occurred,
    clock_changes,
    date_of_ms,
    days_later,
    earliest_days_later,
    exactly,
    from_ms,
    instant,
    last_minute,
    local_date,
    local_instant,
    local_time,
    midnight_after,
    midnight_before,
    read_date,
    read_instant,
    to_ms,
    utc_offset,
    written,
    zone_named,
)

CHICAGO = ZoneInfo("America/Chicago")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
NOON = instant(datetime(2026, 2, 3, 18, tzinfo=UTC))


def test_a_time_without_an_offset_is_no_instant():
    with pytest.raises(NaiveTimeError, match="'2026-02-03T06:35:00'"):
        instant(datetime(2026, 2, 3, 6, 35))
    with pytest.raises(NaiveTimeError, match="2026-02-03T06:35"):
        read_instant("2026-02-03T06:35")


def test_an_instant_is_kept_in_utc():
    assert read_instant("2026-02-03T06:35:00-06:00") == datetime(2026, 2, 3, 12, 35, tzinfo=UTC)
    assert read_instant("2026-02-03T12:35:00Z").tzinfo is UTC


@pytest.mark.parametrize(
    "text", ["", "noon", "13:37", "2026-13-01T00:00Z", "2026-02-30T00:00:00Z", "NaN"]
)
def test_what_is_not_a_time_is_refused_with_the_text_in_the_message(text):
    with pytest.raises(RecordError) as error:
        read_instant(text)

    assert repr(text) in str(error.value)
    assert error.value.advice.startswith("write it as 2026-")


@pytest.mark.parametrize(
    "text", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00", "1899-12-31T12:00:00Z"]
)
def test_a_time_no_vial_ever_saw_is_refused(text):
    with pytest.raises(RecordError, match="year"):
        read_instant(text)


def test_an_interval_ends_after_it_starts():
    with pytest.raises(RecordError, match=r"ends .* before it starts"):
        Occurred(NOON, NOON - timedelta(milliseconds=1))

    assert exactly(NOON) == Occurred(NOON, NOON)


def test_times_are_written_with_the_offset_of_the_place():
    assert written(NOON) == "2026-02-03T18:00:00+00:00"
    assert written(NOON, CHICAGO) == "2026-02-03T12:00:00-06:00"
    assert written(NOON + timedelta(milliseconds=5), CHICAGO) == "2026-02-03T12:00:00.005-06:00"


@pytest.mark.parametrize(
    ("milliseconds", "text"),
    [(0, "1970-01-01T00:00:00Z"), (-1, "1969-12-31T23:59:59.999Z")],
    ids=["the epoch", "a millisecond before"],
)
def test_milliseconds_count_from_1970_in_utc(milliseconds, text):
    assert from_ms(milliseconds) == read_instant(text)
    assert to_ms(read_instant(text)) == milliseconds


def test_milliseconds_are_rounded_down():
    assert to_ms(instant(NOON + timedelta(microseconds=999))) == to_ms(NOON)


@pytest.mark.parametrize("name", ["America/Chicgo", "", "../../etc/passwd", "CST6CDT7", "\0"])
def test_an_unknown_zone_is_refused_by_its_name(name):
    with pytest.raises(UnknownZoneError) as error:
        zone_named(name)

    assert repr(name) in str(error.value)


def test_a_known_zone_is_found_by_its_iana_name():
    assert zone_named("America/Chicago") == CHICAGO


def test_the_date_and_the_wall_clock_are_those_of_the_place():
    late = read_instant("2026-02-04T05:30:00Z")

    assert (local_date(late, CHICAGO), local_time(late, CHICAGO)) == (
        date(2026, 2, 3),
        time(23, 30),
    )


def test_an_ordinary_local_time_is_one_instant():
    at = local_instant(date(2026, 2, 3), time(12), CHICAGO)

    assert at == NOON


def test_a_local_time_that_the_clocks_skip_is_refused():
    with pytest.raises(LocalTimeError, match="does not exist: 2026-03-08 02:30 in America"):
        local_instant(date(2026, 3, 8), time(2, 30), CHICAGO)


def test_a_local_time_that_the_clocks_show_twice_is_refused():
    with pytest.raises(LocalTimeError, match="exists twice: 2026-11-01 01:30") as error:
        local_instant(date(2026, 11, 1), time(1, 30), CHICAGO)

    assert error.value.advice == "give the time with its offset"


@pytest.mark.parametrize(
    ("start", "end"),
    [
        # 23 h of the skipped night: the wall clock comes first
        ("2026-03-07T12:00:00-06:00", "2026-03-08T12:00:00-05:00"),
        # 25 h of the doubled night: 24 hours of elapsed time come first
        ("2026-10-31T12:00:00-05:00", "2026-11-01T11:00:00-06:00"),
        # 02:30 does not exist on 8 March: the limit ends when the clocks skip it
        ("2026-03-07T02:30:00-06:00", "2026-03-08T03:00:00-05:00"),
        # 01:30 exists twice on 1 November: the first one
        ("2026-10-31T01:30:00-05:00", "2026-11-01T01:30:00-05:00"),
    ],
    ids=["spring, noon", "autumn, noon", "skipped hour", "doubled hour"],
)
def test_a_limit_of_one_day_ends_at_the_earlier_of_its_two_readings(start, end):
    assert days_later(read_instant(start), 1, CHICAGO) == read_instant(end)


def test_thirty_days_over_the_spring_change_are_an_hour_short():
    start = read_instant("2026-02-20T07:00:00-06:00")

    assert days_later(start, 30, CHICAGO) == read_instant("2026-03-22T07:00:00-05:00")


def test_half_an_hours_shift_is_half_an_hour():
    start = read_instant("2026-04-04T12:00:00+11:00")  # the clocks go back on 5 April

    assert days_later(start, 1, LORD_HOWE) == read_instant("2026-04-05T11:30:00+10:30")


def test_a_day_ends_with_the_next_local_midnight():
    assert midnight_after(date(2026, 8, 31), CHICAGO) == read_instant("2026-09-01T05:00:00Z")
    assert midnight_before(date(2026, 8, 31), CHICAGO) == read_instant("2026-08-31T05:00:00Z")


def test_where_midnight_is_skipped_the_day_ends_at_the_change():
    beirut = ZoneInfo("Asia/Beirut")  # 00:00 became 01:00 on 31 March 2024

    ends = midnight_after(date(2024, 3, 30), beirut)

    assert ends == read_instant("2024-03-30T22:00:00Z")


def test_a_day_that_a_place_left_out_ends_before_it_would_begin():
    apia = ZoneInfo("Pacific/Apia")

    assert midnight_after(date(2011, 12, 29), apia) <= read_instant("2011-12-30T10:00:00Z")


def test_dates_are_read_as_iso_dates():
    assert read_date("2026-02-28") == date(2026, 2, 28)


@pytest.mark.parametrize("text", ["2026-02-29", "28.02.2026", "", "2026-2-8"])
def test_what_is_no_date_is_refused(text):
    with pytest.raises(RecordError) as error:
        read_date(text)

    assert repr(text) in str(error.value)


@pytest.mark.parametrize(
    ("until", "end"),
    [
        ("2026-11-01T01:55:00-05:00", "2027-03-31T01:50:00-05:00"),
        ("2026-11-01T01:20:00-06:00", "2027-03-31T01:00:00-05:00"),
    ],
    ids=["before the clocks go back", "after they went back to 01:00"],
)
def test_of_an_uncertain_start_the_one_that_ends_first_counts(until, end):
    """150 days from 01:50 or later: 01:00 came a second time, ten minutes after 01:50."""
    began = read_instant("2026-11-01T01:50:00-05:00")

    assert earliest_days_later(began, read_instant(until), 150, CHICAGO) == read_instant(end)


def test_the_changes_of_a_year_are_found_with_their_offsets():
    year = (read_instant("2026-01-01T00:00:00Z"), read_instant("2027-01-01T00:00:00Z"))
    hours = [timedelta(hours=-6), timedelta(hours=-5)]

    forward, back = clock_changes(*year, CHICAGO)
    assert (written(forward.at), [forward.before, forward.after]) == (
        "2026-03-08T08:00:00+00:00",
        hours,
    )
    assert (written(back.at), [back.after, back.before]) == ("2026-11-01T07:00:00+00:00", hours)


def test_a_fixed_offset_never_changes():
    year = (read_instant("2026-01-01T00:00:00Z"), read_instant("2027-01-01T00:00:00Z"))
    six_behind = timezone(timedelta(hours=-6))

    assert list(clock_changes(*year, six_behind)) == []
    assert utc_offset(year[0], six_behind) == timedelta(hours=-6)


def test_an_end_in_the_first_minute_of_a_day_is_read_as_23_59_of_the_day_before():
    # 06:00 and 05:59 in UTC are 00:00 and 23:59 at Chicago in winter (UTC-6).
    chicago = zone_named("America/Chicago")
    assert last_minute(read_instant("2026-02-04T06:00:00Z"), chicago) == (
        date(2026, 2, 3),
        time(23, 59),
    )
    assert last_minute(read_instant("2026-02-04T05:59:30Z"), chicago)[1] == time(23, 59)
    assert last_minute(read_instant("2026-02-04T06:01:00Z"), chicago)[1] == time(0, 1)


def test_the_date_of_a_millisecond_is_the_local_date_in_every_zone_there_is():
    """Against the zone data itself: midnights, clock changes, and the years before 1973."""
    days = [date(year, month, 3) for year in (1965, 1971, 1972, 2026) for month in (1, 5, 11)]
    for name in sorted(available_timezones()):
        zone = ZoneInfo(name)
        turns = [midnight_after(day, zone) for day in days]
        year = (midnight_after(date(2026, month, 1), zone) for month in (1, 12))
        turns += [change.at for change in clock_changes(*year, zone)]
        for ms in (to_ms(at) + near for at in turns for near in (-60_000, -1, 0, 1, 59_999)):
            assert date_of_ms(ms, zone) == local_date(from_ms(ms), zone), (name, ms)
