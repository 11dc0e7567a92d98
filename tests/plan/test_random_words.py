"""
Random words against printed sequences, each typed from memory of its print.

xoshiro256++ from state 1, 2, 3, 4: the test vector that the authors' C program gives, as
printed in the tests of a Rust library of random numbers. SplitMix64 from 1234567: a page of
programming tasks with its expected output.
"""

import pytest
from tests.plan.draws import state

from thawline.base.compiled import word
from thawline.plan.random_words import GOLDEN, MASK, drawn, mixed, uniform


def _words(at, many):
    found = []
    for _ in range(many):
        next_word, at = drawn(tuple(map(word, at)))
        found.append(int(next_word))
    return found


def test_the_words_are_those_of_the_published_generator():
    assert _words((1, 2, 3, 4), 5) == [
        41943041,
        58720359,
        3588806011781223,
        3591011842654386,
        9228616714210784205,
    ]


def test_seeds_are_made_by_the_published_mixer():
    start, found = 1234567, []
    for _ in range(3):
        start = (start + int(GOLDEN)) & int(MASK)
        found.append(int(mixed(word(start))))

    assert found == [6457827717110365317, 3203168211198807973, 9817491932198370423]


@pytest.mark.parametrize("other", [(8, 3, 1), (7, 4, 1), (7, 3, 2), (3, 7, 1)])
def test_another_seed_day_or_stream_has_words_of_its_own(other):
    assert not set(_words(state(7, 3, 1), 50)) & set(_words(state(*other), 50))


@pytest.mark.parametrize(("found", "share"), [(0, 0.0), (2**63, 0.5), (2**64 - 1, 1 - 2**-53)])
def test_a_uniform_number_never_reaches_one(found, share):
    assert uniform(word(found)) == share


def test_days_next_to_each_other_draw_as_if_they_had_nothing_in_common():
    """The mean of 20,000 first draws of as many days: half, within four standard errors."""
    draws = [uniform(word(_words(state(1, day, 0), 1)[0])) for day in range(20_000)]

    assert abs(sum(draws) / len(draws) - 0.5) < 4 * (1 / 12 / len(draws)) ** 0.5
