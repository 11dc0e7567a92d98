"""Freezers, refrigerators and tables of a site, by name."""

from decimal import Decimal

import pytest

from thawline.base.errors import NotFoundError, RecordError
from thawline.store.units import Followed, StorageUnit, only_unit, unit_named

FRIDGE = StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND)
SECOND = StorageUnit("fridge-2", "refrigerator", Followed.LIVE)
FREEZER = StorageUnit("freezer-a", "frozen", Followed.AT_DOWNLOAD)


def test_a_unit_is_found_by_its_name_and_a_slip_is_answered_with_the_nearest():
    assert unit_named([FRIDGE, SECOND], "fridge-2") is SECOND
    with pytest.raises(NotFoundError, match="no storage unit fridgr-2 here") as error:
        unit_named([FRIDGE, SECOND], "fridgr-2")
    assert error.value.advice == "did you mean fridge-2?"


def test_the_only_unit_of_a_band_needs_no_name():
    assert only_unit([FRIDGE, FREEZER], "frozen") == "freezer-a"


@pytest.mark.parametrize(
    ("band", "name"), [("frozen", "freezer-1"), ("refrigerator", "fridge-1"), ("room", "")]
)
def test_a_site_that_named_no_unit_has_the_usual_ones(band, name):
    assert only_unit([], band) == name


def test_of_two_refrigerators_somebody_says_which():
    with pytest.raises(RecordError, match="which refrigerator: there are 2 here") as error:
        only_unit([FRIDGE, SECOND], "refrigerator")
    assert error.value.advice == "add --unit, one of fridge-1, fridge-2"


@pytest.mark.parametrize(
    ("name", "accuracy_c", "title", "says"),
    [
        ("Fridge 1", None, "", "not a name for a storage unit: 'Fridge 1'"),
        ("", None, "", "not a name"),
        ("f" * 41, None, "", "not a name"),
        ("fridge-1", Decimal("-0.1"), "", "not an accuracy: -0.1 °C"),
        ("fridge-1", Decimal("NaN"), "", "not an accuracy: NaN °C"),
        ("fridge-1", None, "two\nlines", "not a title"),
    ],
)
def test_what_no_unit_is_called_is_refused_with_the_value(name, accuracy_c, title, says):
    with pytest.raises(RecordError, match=says):
        StorageUnit(name, "refrigerator", Followed.BY_HAND, accuracy_c, title)


def test_a_logger_may_be_exact():
    unit = StorageUnit("fridge-1", "refrigerator", Followed.LIVE, Decimal(0))

    assert unit.accuracy_c == 0
