"""What is said in words; figures made up."""

from thawline.report.intervals import against
from thawline.report.plainly import against_words, compared_words
from thawline.report.two_groups import Group, compared


def test_a_count_that_chance_explains_is_too_few_to_tell():
    assert against_words(against(1, 0.8)) == (
        "1 seen, 0.8 expected: 1.25 times as many (0.0316 to 6.96); "
        "too few doses to tell apart from chance"
    )


def test_a_count_beyond_chance_is_said_as_such():
    assert against_words(against(31, 12.0)).endswith("more than chance explains")


def test_too_few_seen_asks_whether_all_are_recorded():
    assert against_words(against(2, 20.0)).endswith("are all of them recorded?")


def test_a_lot_that_stands_out_is_worth_a_look():
    says = compared_words(compared(Group(8, 100), Group(0, 900)), 0.05)

    assert says.startswith("at least ")
    assert says.endswith("look at it")


def test_a_lot_with_no_case_and_none_elsewhere_says_so():
    says = compared_words(compared(Group(0, 100), Group(0, 900)), 0.05)

    assert says == "nobody had it: too few doses to tell apart from chance"


def test_a_lot_like_the_rest_is_too_few_to_tell():
    says = compared_words(compared(Group(1, 100), Group(8, 900)), 0.05)

    assert says.endswith("too few doses to tell apart from chance")


def test_all_cases_in_a_group_may_still_be_chance():
    says = compared_words(compared(Group(1, 900), Group(0, 100)), 0.05)

    assert says.startswith("at least 0.00")
