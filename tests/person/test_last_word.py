"""Which word of a day counts when some are typed in later from paper. Invented; Tuesday."""

from typing import NamedTuple

import pytest
from tests.cast import CHICAGO, at

from thawline.base.instants import to_ms
from thawline.person.last_word import last_word, stricter_word

NOON = at("12:00")


class Word(NamedTuple):
    """A word that allows, or one that does not, said between two times."""

    says: str
    lo_ms: int
    hi_ms: int


def _word(says, lo, hi=None, day=3, until_day=None):
    return Word(says, to_ms(at(lo, day)), to_ms(at(hi or lo, until_day or day)))


def _strictness(word):
    return ["yes", "no", "back"].index(word.says)


def _last(*words, by=NOON):
    found = last_word(words, by, CHICAGO, _strictness)
    return None if found is None else found.says


def test_nobody_said_anything():
    assert _last() is None


@pytest.mark.parametrize(
    ("words", "counts"),
    [
        ([("yes", "08:40"), ("back", "09:00")], "back"),
        ([("back", "09:00"), ("yes", "08:40")], "back"),
        ([("no", "09:00"), ("yes", "09:01")], "yes"),
        ([("yes", "09:01"), ("no", "09:00")], "yes"),
        ([("no", "09:00"), ("yes", "09:00")], "no"),
        ([("back", "09:00"), ("no", "09:00")], "back"),
        ([("no", "09:00"), ("yes", "08:40", "09:20")], "no"),
        ([("no", "08:40", "09:20"), ("yes", "09:00")], "no"),
        ([("no", "08:40", "08:59"), ("yes", "09:00")], "yes"),
    ],
    ids=[
        *("typed in order", "typed in later", "a later yes", "a later yes typed first"),
        *("the same minute", "the stricter of two", "a yes of an unsure time"),
        *("a no of an unsure time", "a no that is over"),
    ],
)
def test_the_last_said_counts_and_in_doubt_the_strictest(words, counts):
    assert _last(*(_word(*each) for each in words)) == counts


def test_of_two_that_say_the_same_the_newest_entry_counts():
    words = [_word("yes", "09:00"), _word("yes", "09:00", "09:00")]

    assert last_word(words, NOON, CHICAGO, lambda _word: 0) is words[1]


def test_a_yes_that_may_be_of_another_day_does_not_count_and_a_no_does():
    over_midnight = {"lo": "23:50", "hi": "00:10", "day": 2, "until_day": 3}

    assert _last(_word("yes", **over_midnight)) is None
    assert _last(_word("no", **over_midnight)) == "no"
    assert _last(_word("no", "23:50", day=2)) is None


@pytest.mark.parametrize(
    ("typed", "stands"),
    [(("yes", "08:40"), "no"), (("yes", "09:01"), None), (("back", "08:40"), None)],
    ids=["a yes of before", "a yes of after", "a stricter one of before"],
)
def test_a_milder_word_typed_in_for_an_earlier_time_leaves_the_stricter_standing(typed, stands):
    found = stricter_word([_word("no", "09:00")], _word(*typed), CHICAGO, _strictness)

    assert (None if found is None else found.says) == stands


@pytest.mark.parametrize(
    ("says", "lo", "hi", "counts"),
    [
        ("yes", "09:00", "09:00", True),
        ("yes", "09:01", "09:01", False),
        ("yes", "08:59", "09:01", False),
        ("no", "08:59", "09:01", True),
        ("no", "09:01", "09:01", False),
    ],
    ids=[
        "at the moment",
        "after it",
        "a yes perhaps after",
        "a no perhaps before",
        "a no after",
    ],
)
def test_only_what_was_said_by_then_counts_and_in_doubt_the_no(says, lo, hi, counts):
    assert (_last(_word(says, lo, hi), by=at("09:00")) is not None) is counts
