"""Doses against plan; bars counted by hand."""

from thawline.draw.against_plan import SoFar, against_plan


def test_a_day_of_690_doses():
    rows = [SoFar("08:00", 63, 66), SoFar("13:00", 378, 402), SoFar("18:30", 690, 674)]

    assert against_plan(rows) == (
        "by     given   plan  0         200       400       600",
        "08:00     63     66  ===|",
        "13:00    378    402  ==================  |",
        "18:30    690    674  =================================|",
    )


def test_being_ahead_shows_as_a_bar_beyond_the_post():
    assert against_plan([SoFar("10:00", 40, 30)])[1].endswith("|=========")


def test_being_behind_shows_as_a_gap_before_the_post():
    assert against_plan([SoFar("10:00", 30, 40)])[1].endswith("=          |")


def test_a_time_without_a_plan_has_no_post():
    row = against_plan([SoFar("19:00", 5, None)])[1]

    assert row == "19:00      5      -  ====="


def test_a_small_site_has_one_dose_a_column():
    head = against_plan([SoFar("18:00", 50, 48)])[0]

    assert head.split()[3:] == ["0", "10", "20", "30", "40", "50"]


def test_one_dose_more_than_fits_doubles_what_a_column_stands_for():
    head = against_plan([SoFar("18:00", 51, 48)])[0]

    assert head.split()[3:] == ["0", "20", "40"]


def test_a_day_on_which_nothing_was_given_is_an_empty_picture():
    assert against_plan([SoFar("08:00", 0, 0)])[1] == "08:00      0      0  |"
