"""A language's file: which sentence stands for which, and when none does."""

import pytest
from tests.web.languages.small import language

SPANISH = language(
    {
        "vial {} is held": "el vial {} está retenido",
        "Use vial {} before {}": "Antes de las {2}, use el vial {1}",
        "{} searched {} times": "{} buscó {} veces",
        "Do not use it": "No lo use",
        "held": "retenido",
    }
)


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        ("held", "retenido"),
        ("Held", "Retenido"),
        ("vial H47K is held", "el vial H47K está retenido"),
        ("Vial H47K is held.", "El vial H47K está retenido."),
        ("Use vial H47K before 16:02", "Antes de las 16:02, use el vial H47K"),
        ("Bryony searched 21 times", "Bryony buscó 21 veces"),
        ("vial H47K is held. Do not use it.", "el vial H47K está retenido. No lo use."),
        ("Tue 3 Feb", "mar 3 feb"),
        ("Use vial H4 before minus 13.2", "Antes de las menos 13.2, use el vial H4"),
        ("16:02 Tue 3 Feb", "16:02 mar 3 feb"),
        ("Use vial H4 before 16:02 Tue 3 Feb", "Antes de las 16:02 mar 3 feb, use el vial H4"),
    ],
)
def test_a_sentence_is_told_with_its_own_times_and_codes(english, spanish):
    assert SPANISH.said(english) == spanish


@pytest.mark.parametrize("english", ["vial H47K", "vial H47K is held. Call now.", "", "Now"])
def test_what_is_not_wholly_known_is_not_told_at_all(english):
    """Half a rule in another language is worse than the whole one in English."""
    assert SPANISH.said(english) is None


def test_what_stands_in_a_gap_is_no_sentence():
    """A gap that took in prose would leave half a rule in English, and the other half not."""
    assert SPANISH.said("vial H47K. Call now. C62M is held") is None
    assert SPANISH.said("vial that nobody has seen since it was is held") is None


def test_the_sentence_with_the_most_words_of_ours_is_taken_first():
    words = {
        "{} is late": "{} llega tarde",
        "{} is not here and is late": "{} no está y es tarde",
    }
    assert (
        language(words)
        .said("DEMO-000007 is not here and is late")
        .startswith("DEMO-000007 no está")
    )


def test_a_language_is_a_draft_until_somebody_reviewed_it():
    assert language({}).draft
    assert not language({}, reviewed_by="A. Reader").draft
