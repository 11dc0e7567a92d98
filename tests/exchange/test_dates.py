"""Dates as files write them; the calendar dates expected are typed out."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import ExchangeError
from thawline.exchange.dates import (
    DateOrder,
    WrittenDate,
    fitting_orders,
    has_short_year,
    readings,
    settle,
    shown_order,
)

DMY, MDY, YMD = DateOrder
THIRD = date(2026, 2, 3)
SECOND_OF_MARCH = date(2026, 3, 2)


def _cells(*texts):
    return [WrittenDate(line, text) for line, text in enumerate(texts, 2)]


@pytest.mark.parametrize(
    "text",
    [
        *("2026-02-03", "2026/2/3", "2026.02.03.", "20260203"),
        *("3 Feb 2026", "Feb 3, 2026", "Tuesday 3rd February 2026", "3-Feb-26"),
        *("3 de febrero de 2026", "martes, 3 feb. 2026", "2026 Feb 3", "03FEB2026"),
    ],
)
def test_the_third_of_february_has_one_meaning(text):
    assert set(readings(text).values()) == {THIRD}


def test_three_slash_two_is_february_or_march():
    assert readings("03/02/2026") == {DMY: THIRD, MDY: SECOND_OF_MARCH}


def test_a_two_digit_year_may_stand_at_either_end():
    assert readings("26/02/03") == {DMY: date(2003, 2, 26), YMD: THIRD}


@pytest.mark.parametrize(
    "text",
    [
        *("", "soon", "31/04/2026", "29/02/2026", "3/2", "2026-13-13", "1/2/026", "3-2/2026"),
        *("3 Feb", "Feb Mar 2026", "0/0/2026", "03/02/1026", "45:30", "3 Feb 2026 2027", "NaN"),
        "٣/٢/٢٠٢٦",
    ],
)
def test_what_is_no_date_has_no_meaning(text):
    assert readings(text) == {}


def test_one_day_beyond_twelve_settles_the_whole_file():
    cells = _cells("03/02/2026", "25/12/1980", "04/02/2026")

    assert settle(cells, None) is DMY
    assert shown_order(cells, DMY) == "day-month-year (line 3: 25/12/1980)"


def test_one_month_day_beyond_twelve_settles_it_the_other_way():
    assert settle(_cells("02/03/2026", "12/25/1980"), None) is MDY


def test_days_of_twelve_and_below_only_are_asked_about():
    with pytest.raises(
        ExchangeError, match=r"2026-02-03 \(dmy\) or 2026-03-02 \(mdy\)"
    ) as caught:
        settle(_cells("03/02/2026", "04/02/2026"), None)

    assert "--date-order" in caught.value.advice


def test_what_is_asked_for_is_taken():
    assert settle(_cells("03/02/2026"), MDY) is MDY


def test_a_day_and_month_of_the_same_number_need_no_asking():
    assert readings("02/02/2026")[settle(_cells("02/02/2026"), None)] == date(2026, 2, 2)


def test_dates_that_start_with_the_year_need_no_asking():
    assert settle(_cells("2026-02-03", "2026-03-02"), None) in DateOrder


def test_a_year_first_date_says_nothing_about_the_others():
    with pytest.raises(ExchangeError, match="line 3"):
        settle(_cells("2026-02-03", "03/02/2026"), None)


def test_two_lines_in_different_orders_are_both_named():
    with pytest.raises(ExchangeError, match=r"line 2.*'25/12/1980'.*line 4.*'12/25/1980'"):
        settle(_cells("25/12/1980", "03/02/2026", "12/25/1980"), None)


def test_text_that_is_no_date_says_nothing_about_the_order():
    assert settle(_cells("not yet", "31/31/2026", "25/12/1980"), None) is DMY


def test_a_file_without_any_written_date_is_not_asked_about():
    assert settle([], None) in DateOrder


@pytest.mark.parametrize(("text", "short"), [("3/2/26", True), ("3/2/2026", False)])
def test_a_year_of_two_digits_is_noticed(text, short):
    assert has_short_year(text) is short


FORMS = {DMY: "%d/%m/%Y", MDY: "%m/%d/%Y", YMD: "%Y/%m/%d"}


@given(
    st.lists(st.dates(date(1900, 1, 1), date(2199, 12, 31)), min_size=1),
    st.sampled_from([DMY, MDY]),
)
def test_a_settled_order_is_never_the_wrong_one(days, order):
    cells = _cells(*(day.strftime(FORMS[order]) for day in days))
    try:
        settled = settle(cells, None)
    except ExchangeError:
        assert all(day.day <= 12 for day in days)
        return

    assert [readings(cell.text)[settled] for cell in cells] == days


def test_the_orders_that_fit_are_those_in_which_every_date_exists():
    assert fitting_orders(["03/02/2026", "25/12/1980"]) == (DateOrder.DMY,)
    assert fitting_orders(["no date"]) == tuple(DateOrder)
