"""The units in `site.toml`: read, written, and everything else left as it stands."""

from decimal import Decimal

import pytest

from thawline.adapters.sites import Settings, make_folder, put_unit, read_settings
from thawline.base.errors import RecordError
from thawline.store.units import Followed, StorageUnit

FRIDGE = StorageUnit(
    "fridge-1", "refrigerator", Followed.BY_HAND, Decimal("0.5"), 'the "blue" one'
)


@pytest.fixture
def folder(tmp_path):
    return make_folder(tmp_path, Settings("harrowmint", "Harrowmint Hall", "America/Chicago"))


def test_a_site_without_units_has_none(folder):
    assert read_settings(folder).units == ()


def test_a_unit_is_read_back_as_it_was_named(folder):
    put_unit(folder, FRIDGE)

    assert read_settings(folder).units == (FRIDGE,)


def test_a_unit_that_is_named_again_is_changed_and_the_others_stay(folder):
    freezer = StorageUnit("fridge-10", "frozen", Followed.AT_DOWNLOAD)
    changed = StorageUnit("fridge-1", "refrigerator", Followed.LIVE)
    for unit in (FRIDGE, freezer, changed):
        put_unit(folder, unit)

    assert set(read_settings(folder).units) == {freezer, changed}


def test_comments_and_other_tables_stay_as_they_stand(folder):
    path = folder / "site.toml"
    path.write_text(f"# by hand\n{path.read_text()}\n[paper]\nsize = 'letter'  # kept\n")
    put_unit(folder, FRIDGE)
    put_unit(folder, FRIDGE)

    assert path.read_text().count("[units.fridge-1]") == 1
    assert {"# by hand", "size = 'letter'  # kept"} <= set(path.read_text().splitlines())


def test_a_number_is_read_with_its_decimals_as_typed(folder):
    path = folder / "site.toml"
    told = '[units.fridge-1]\nband = "refrigerator"\nfollowed = "live"\naccuracy_c = 0.1\n'
    path.write_text(path.read_text() + told)

    assert read_settings(folder).units[0].accuracy_c == Decimal("0.1")


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ("units = 3", "'units' is 3"),
        ("[units]\nfridge-1 = 3", "unit fridge-1: is 3"),
        ('[units.f1]\nfollowed = "live"', "unit f1: band is None"),
        ('[units.f1]\nband = "room"\nfollowed = "daily"', "unit f1: followed is 'daily'"),
        ('[units.f1]\nband = "room"\nfollowed = 1', "unit f1: followed is 1"),
        ('[units.f1]\nband = "room"\nfollowed = "live"\ncolor = 1', "unknown color"),
        ('[units.f1]\nband = "room"\nfollowed = "live"\naccuracy_c = "1"', "accuracy_c is '1'"),
        ('[units.f1]\nband = "room"\nfollowed = "live"\naccuracy_c = true', "is True"),
        ('[units.f1]\nband = "room"\nfollowed = "live"\naccuracy_c = -1', "accuracy: -1"),
        ('[units.F1]\nband = "room"\nfollowed = "live"', "not a name"),
    ],
)
def test_a_damaged_table_is_said_with_its_unit_and_value(folder, told, says):
    path = folder / "site.toml"
    path.write_text(
        f"{told}\n{path.read_text()}" if told[0] == "u" else path.read_text() + told
    )

    with pytest.raises(RecordError, match=says):
        read_settings(folder)
