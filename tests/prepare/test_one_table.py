"""One open vial for each preparer, one lot for each table. Source: common practice."""

from thawline.prepare.one_table import OpenHere, lot_of_table, table_findings, vial_of

FIRST = OpenHere("HK47M", "ZZ-1041", "Hazel")
SECOND = OpenHere("CT62R", "ZZ-1041", "Sorrel")
OTHER_LOT = OpenHere("RA93V", "ZZ-1014", "Sorrel")


def test_a_table_draws_from_the_lot_that_stands_open_there():
    assert lot_of_table([FIRST, OTHER_LOT]) == "ZZ-1041"
    assert lot_of_table([]) is None


def test_each_preparer_goes_on_with_their_own_vial():
    assert vial_of([FIRST, SECOND], "Sorrel") == "CT62R"


def test_whoever_has_none_open_takes_over_the_one_that_ends_first():
    assert vial_of([FIRST, SECOND], "Rowan") == "HK47M"
    assert vial_of([], "Rowan") is None


def test_two_preparers_with_one_vial_each_of_one_lot_are_as_it_should_be():
    assert list(table_findings([FIRST, SECOND])) == []


def test_two_lots_at_one_table_are_asked_about():
    [found] = table_findings([FIRST, OTHER_LOT])
    assert (found.level, found.code) == ("check", "two-lots-at-a-table")
    assert "lots ZZ-1041 and ZZ-1014 stand open at one table. Finish HK47M" in found.says


def test_one_preparer_with_two_open_vials_finishes_the_first_one_first():
    [found] = table_findings([FIRST, OpenHere("CT62R", "ZZ-1041", "Hazel")])
    assert (found.level, found.code) == ("check", "two-open-vials")
    assert found.says == "Hazel has HK47M and CT62R open. Finish HK47M first"
