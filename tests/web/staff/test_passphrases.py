"""Which passphrases are taken: long ones, of any signs, that nobody guesses first."""

import pytest

from thawline.web.staff.passphrases import fault

WORDS = ("Harrowmint", "Hall", "Hazel", "Rainmoor", "thawline")


@pytest.mark.parametrize(
    "passphrase",
    [
        "seven pale otters swim",
        "siete nutrias p\u00e1lidas nadan",
        "xkqzvwjpyhfbmtr",  # fifteen signs, no blank, capital or digit: no rule asks for them
        "harrowmint otters swim pale",
        "\u4e03\u53ea\u6c34\u736d\u5728\u6e38\u6cf3 and then some more",
    ],
)
def test_a_long_one_of_any_signs_is_taken(passphrase):
    assert fault(passphrase, WORDS) == ""


@pytest.mark.parametrize(
    ("passphrase", "says"),
    [
        ("seven pale otte"[:14], "15 signs or more"),
        ("x" * 129, "128 signs or fewer"),
        ("aaaaaaaaaaaaaaaaaaaa", "different signs"),
        ("abababababababab", "different signs"),
        ("passwordpassword", "easy to guess"),
        ("Password Password Password", "easy to guess"),
        ("qwertyqwertyqwerty", "easy to guess"),
        ("harrowmint hall harrowmint", "easy to guess"),
        ("Hazel Rainmoor Harrowmint", "easy to guess"),
        ("harrowmint-password", "easy to guess"),
        ("thawline123456thawline", "easy to guess"),
        ("1234567890123456", "easy to guess"),
        ("zyxwvutsrqponmlkjih", "easy to guess"),
        ("qwertyuiopasdfgh", "easy to guess"),
    ],
)
def test_one_that_is_short_or_guessed_first_is_refused_with_what_to_do(passphrase, says):
    assert says in fault(passphrase, WORDS)


def test_fifteen_signs_are_enough_and_fourteen_are_not():
    assert fault("seven pale otte", WORDS) == ""
    assert fault("seven pale ott", WORDS) != ""
