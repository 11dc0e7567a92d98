"""Two written names that may be one person's. The names are made up."""

import pytest

from thawline.person.names import NameLikeness, bare_words, name_words, names_alike

SAME, SPELLED, PART = NameLikeness


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Hazel Rainmoor", "RAINMOOR, hazel"),
        ("Anne-Marie Fox", "Anne Marie Fox"),
        ("Pat O'Neil", "Pat O Neil"),
        ("Ka'ahu Loom", "Ka\N{MODIFIER LETTER TURNED COMMA}ahu Loom"),
        ("José Loom", "Jose\N{COMBINING ACUTE ACCENT} Loom"),
        ("王 伟", "伟 王"),
        ("Bo Li", "bo li"),
    ],
    ids=["order", "hyphen", "apostrophe", "okina", "composed", "another script", "capitals"],
)
def test_capitals_order_and_what_stands_between_the_parts_make_no_difference(one, other):
    assert names_alike(one, other) is SAME


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Anne-Marie Fox", "Annemarie Fox"),
        ("Anne Marie Fox", "Fox, Annemarie"),
        ("Pat O'Neil", "Pat ONeil"),
        ("De La Cruz, Ana", "Ana Delacruz"),
        ("José Núñez", "Jose Nunez"),
        ("Jürgen Müller", "Juergen Mueller"),
        ("Jürgen Müller", "Jurgen Muller"),
        ("Søren Åby", "Soeren Aaby"),
        ("Søren Łoz", "Soren Loz"),
        ("Y\N{LATIN SMALL LETTER DOTLESS I}lmaz Ay", "Yilmaz Ay"),
        ("王 伟", "王伟"),
        ("Алёна Рой", "Алена Рой"),
    ],
)
def test_accents_and_parts_written_together_are_asked_about(one, other):
    assert {names_alike(one, other), names_alike(other, one)} == {SPELLED}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Maria Lopez", "Maria Lopez Garcia"),
        ("María López", "Maria Lopez-Garcia"),
        ("John Smith", "John A Smith"),
        ("John A. Smith", "John Adam Smith"),
        ("J Smith", "Smith, John"),
        ("Bryony", "Bryony Testwick"),
        ("A A Loom", "Ada Anne Loom"),
    ],
)
def test_a_part_of_a_name_or_an_initial_is_asked_about(one, other):
    assert {names_alike(one, other), names_alike(other, one)} == {PART}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Bryony Testwick", "Bryony Loom"),
        ("Bryony Testwick", "Hazel Rainmoor"),
        ("Maria Lopez", "Mario Lopez"),
        ("John B Smith", "John Adam Smith"),
        ("A A Loom", "Ada Bea Loom"),
        ("J S", "John Smith"),
        ("Sue Li", "Su Li"),
        ("王 伟", "王 伟明"),
        ("กิน ดี", "กีน ดี"),
        ("रिम राय", "राम राय"),
        ("-", "Bryony"),
        ("", ""),
    ],
    ids=[
        *("another family name", "another name", "another letter", "another initial"),
        *("one of two initials", "initials alone", "a vowel", "a longer name"),
        *("a vowel sign in Thai", "a vowel sign in Devanagari", "no letter", "no name"),
    ],
)
def test_other_names_are_other_names(one, other):
    assert {names_alike(one, other), names_alike(other, one)} == {None}


def test_vowel_points_that_are_left_out_as_a_rule_are_asked_about():
    assert names_alike("\u05d3\u05b8\u05bc\u05df לי", "\u05d3\u05df לי") is SPELLED


def test_the_parts_of_a_name_keep_their_accents_and_the_plain_ones_do_not():
    assert name_words("Núñez, José-Ñ") == ("núñez", "josé", "ñ")
    assert bare_words("Núñez, José-Ñ") == ("nunez", "jose", "n")


def test_a_mark_on_nothing_is_kept():
    assert bare_words("\N{COMBINING ACUTE ACCENT}") == ("\N{COMBINING ACUTE ACCENT}",)
