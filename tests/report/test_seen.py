"""Seen beside expected by group, with counts of our own and Poisson chances from SciPy."""

from fractions import Fraction

import pytest
from scipy.stats import poisson

from thawline.base.errors import NotFoundError, RecordError
from thawline.report.seen import Doses, lot_rows, rows_of

RATE = Fraction(1, 100)
FOUND = (
    Doses("hall", "ZZ-1041", 1, 400, 12),
    Doses("hall", "ZZ-1014", 2, 100, 1),
    Doses("library", "ZZ-1041", 1, 200, 2),
)


def _rows(by, found=FOUND, smallest=None):
    return {row.name: row for row in rows_of(found, by, RATE, smallest)}


def test_doses_and_cases_are_added_up_by_site_lot_and_number_of_the_dose():
    assert {n: (r.doses, r.seen) for n, r in _rows("site").items()} == {
        "hall": (500, 13),
        "library": (200, 2),
    }
    assert {n: r.seen for n, r in _rows("lot").items()} == {"ZZ-1014": 1, "ZZ-1041": 14}
    assert {n: r.seen for n, r in _rows("dose").items()} == {"dose 1": 14, "dose 2": 1}


def test_the_hall_is_above_and_the_library_too_small_to_tell():
    rows = _rows("site")

    assert rows["hall"].is_above
    assert rows["hall"].found.expected == 5
    assert "too few doses to tell apart from chance" in rows["library"].says


def test_a_chance_among_many_is_adjusted_for_their_number():
    many = [Doses(f"site {n}", "ZZ-1041", 1, 100, 0) for n in range(9)]
    one = Doses("busy", "ZZ-1041", 1, 100, 4)
    alone = _rows("site", [one])["busy"].p
    among = _rows("site", [one, *many])["busy"].p

    assert alone == pytest.approx(poisson.sf(3, 1.0))
    assert among == pytest.approx(10 * alone)
    assert alone < 0.05 < among
    assert _rows("site", [one])["busy"].is_above
    assert not _rows("site", [one, *many])["busy"].is_above


def test_a_small_count_is_hidden_for_others_with_one_more_so_that_no_sum_tells_it():
    rows = _rows("site", smallest=5)

    assert {name for name, row in rows.items() if row.hidden} == {"hall", "library"}
    assert "would name a person" in rows["library"].says


def test_the_smallest_count_that_may_be_shared_is_the_sites_own():
    found = (
        Doses("a", "x", 1, 900, 6),
        Doses("b", "x", 1, 900, 7),
        Doses("c", "x", 1, 900, 30),
    )

    assert not any(row.hidden for row in _rows("site", found, 5).values())
    assert {n for n, row in _rows("site", found, 10).items() if row.hidden} == {"a", "b"}


def test_of_no_known_dose_nothing_can_be_expected():
    row = _rows("site", [Doses("hall", "?", 0, 0, 1)])["hall"]

    assert (row.found, row.is_above) == (None, False)
    assert "nothing can be expected" in row.says


def test_an_expected_count_of_zero_is_refused():
    with pytest.raises(RecordError, match="expected 0"):
        rows_of(FOUND, "site", Fraction(0))


def test_a_lot_nobody_had_is_named_with_those_that_were_given():
    with pytest.raises(NotFoundError) as told:
        lot_rows(FOUND, "ZZ-9999")

    assert "ZZ-1041" in told.value.advice
    assert [row.doses for row in lot_rows(FOUND, "ZZ-1014")] == [100]


def test_groups_are_site_lot_or_dose():
    with pytest.raises(RecordError, match="weather"):
        rows_of(FOUND, "weather", RATE)
