"""Vial codes: one wrong character, or two neighbours swapped, is never another vial's code."""

import re

import pytest

from thawline.base.errors import RecordError
from thawline.vial.codes import (
    CODES,
    LETTERS,
    check_letter,
    read_vial_code,
    syringe_codes,
    vial_code,
    vial_of,
)

SITE = "harrowmint"
EVERY_TENTH = range(0, CODES, 97)


def _checks(code):
    return check_letter(code[:4], SITE) == code[4]


def _one_wrong(code):
    """Yield the code with each character in turn replaced by every other of its kind."""
    for place, right in enumerate(code):
        kind = "0123456789" if right.isdigit() else LETTERS
        for wrong in kind:
            if wrong != right:
                yield code[:place] + wrong + code[place + 1 :]


def test_there_are_36100_codes_and_all_are_different():
    codes = {vial_code(number, SITE) for number in range(CODES)}

    assert CODES == len(codes) == 36_100
    assert vial_code(CODES, SITE) == vial_code(0, SITE)


def test_a_code_is_two_letters_two_digits_and_a_letter_none_easily_confused():
    assert not set("BGIOQSZ") & set(LETTERS)
    assert all(
        re.fullmatch(rf"[{LETTERS}]{{2}}[0-9]{{2}}[{LETTERS}]", vial_code(n, SITE))
        for n in EVERY_TENTH
    )


def test_every_single_wrong_character_is_noticed():
    unnoticed = [
        wrong for n in EVERY_TENTH for wrong in _one_wrong(vial_code(n, SITE)) if _checks(wrong)
    ]

    assert not unnoticed


@pytest.mark.parametrize("first", [0, 2], ids=["the letters", "the digits"])
def test_two_neighbours_swapped_are_noticed(first):
    codes = [vial_code(number, SITE) for number in EVERY_TENTH]
    swapped = [
        code[:first] + code[first + 1] + code[first] + code[first + 2 :]
        for code in codes
        if code[first] != code[first + 1]
    ]

    assert len(swapped) > 300
    assert not [code for code in swapped if _checks(code)]


def test_codes_that_follow_each_other_do_not_look_alike():
    pairs = [(vial_code(n, SITE), vial_code(n + 1, SITE)) for n in range(500)]

    assert not [pair for pair in pairs if pair[0][:2] == pair[1][:2]]


def test_a_code_is_read_from_small_letters_and_with_spaces_around():
    code = vial_code(7, SITE)

    assert read_vial_code(f" {code.lower()} ", SITE) == code


@pytest.mark.parametrize(
    "text", ["", "HK47", "4K47M", "HKO7M", "HK47MM", "HK4\u0667M", "HK-47M"]
)
def test_what_has_another_form_is_no_vial_code(text):
    with pytest.raises(RecordError, match="not a vial code") as error:
        read_vial_code(text, SITE)

    assert repr(text) in str(error.value)


def test_a_code_of_another_site_does_not_check_here():
    foreign = vial_code(7, "quillbeck")

    with pytest.raises(RecordError, match=f"vial code {foreign} does not check at harrowmint"):
        read_vial_code(foreign, SITE)


def test_syringes_count_on_from_the_draws_before():
    assert list(syringe_codes("HK47M", 6, 2)) == ["HK47M-07", "HK47M-08"]


@pytest.mark.parametrize(
    ("syringe", "vial"),
    [("HK47M-07", "HK47M"), ("hk47m-007", "HK47M"), ("S-01", None), ("HK47M", None)],
)
def test_a_syringe_names_its_vial_unless_it_came_ready_drawn(syringe, vial):
    assert vial_of(syringe) == vial
