"""What is printed as an expiry, and what is not; the published rows are tested elsewhere."""

from datetime import date

import pytest

from thawline.base.errors import RecordError
from thawline.vial.expiry import read_expiry


@pytest.mark.parametrize(
    ("printed", "last_day"),
    [
        ("2026-08-31", date(2026, 8, 31)),
        ("2026-08", date(2026, 8, 31)),
        ("2026-02", date(2026, 2, 28)),
        ("2028-02", date(2028, 2, 29)),
        ("2026-12", date(2026, 12, 31)),
    ],
)
def test_a_date_is_its_day_and_a_month_its_last_day(printed, last_day):
    assert read_expiry(printed) == last_day


@pytest.mark.parametrize(
    "printed",
    [
        "",
        "08/2026",
        "2026",
        "2026-8",
        "2026-13",
        "2026-00",
        "2026-02-30",
        "2026-08-31x",
        "٢٠٢٦-08",
    ],
)
def test_what_is_no_expiry_is_refused_with_what_was_typed(printed):
    with pytest.raises(RecordError, match="not an expiry") as error:
        read_expiry(printed)

    assert repr(printed) in str(error.value)


@pytest.mark.parametrize("printed", ["0026-08", "9999-12", "1899-12-31"])
def test_a_year_that_no_label_has_is_a_slip(printed):
    with pytest.raises(RecordError, match="the year"):
        read_expiry(printed)


def test_an_expiry_nobody_can_read_says_how_to_write_it():
    with pytest.raises(RecordError) as refused:
        read_expiry("08/2026")

    assert refused.value.says == "not an expiry: '08/2026'"
    assert refused.value.advice == "write it as 2026-08-31 or 2026-08"


def test_an_expiry_outside_our_years_is_named():
    with pytest.raises(RecordError, match="1026-08"):
        read_expiry("1026-08")
