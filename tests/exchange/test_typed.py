"""
What a scanner types, on which keyboard.

Which keys change places between a US and a German keyboard (Y and Z; the key of the hyphen
types ß) is as DIN 2137-1 has them, from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import ExchangeError
from thawline.exchange.typed import SEPARATOR, TEST_CODE, Typing, advice, learned

GERMAN = str.maketrans("yzYZ-", "zyZYß")


def taught(typed: str) -> Typing:
    return learned(typed, typed)


def test_a_scanner_that_types_what_is_printed_needs_nothing():
    assert taught(TEST_CODE) == Typing()
    assert advice(taught(TEST_CODE)) == []


@pytest.mark.parametrize("arrives", ["", "|", "<F8>", "^]"])
def test_what_arrives_for_the_separator_is_learned(arrives):
    typing = taught(TEST_CODE.replace(SEPARATOR, arrives))
    assert typing.separator == arrives
    assert "ASCII 29" in advice(typing)[0]


def test_a_german_keyboard_is_recognised_and_put_right():
    typing = taught(TEST_CODE.translate(GERMAN))
    assert (typing.swapped, typing.hyphen) == (True, "ß")
    assert typing.as_printed("LZ04Xß03") == "LY04X-03"


def test_caps_lock_is_recognised_and_put_right():
    typing = taught(TEST_CODE.swapcase())
    assert typing.caps
    assert typing.as_printed("hk47m") == "HK47M"


def test_two_scans_that_differ_teach_nothing():
    with pytest.raises(ExchangeError, match="differ"):
        learned(TEST_CODE, TEST_CODE[:-1])


def test_another_code_teaches_nothing():
    with pytest.raises(ExchangeError, match="not the test code"):
        taught("HK47M")


@given(
    st.sampled_from([SEPARATOR, "|", "<F8>"]),
    st.booleans(),
    st.booleans(),
    st.text(alphabet="ABCYZabcyz0123456789-", max_size=30),
)
def test_whatever_was_learned_every_code_comes_out_as_printed(arrives, swapped, caps, printed):
    def scanner(text: str) -> str:
        typed = text.swapcase() if caps else text
        typed = typed.translate(str.maketrans("yzYZ", "zyZY")) if swapped else typed
        return typed.replace(SEPARATOR, arrives)

    assert taught(scanner(TEST_CODE)).as_printed(scanner(printed)) == printed
