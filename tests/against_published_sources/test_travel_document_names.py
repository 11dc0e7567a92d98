"""
Names as travel documents write them: a passport's line is the same name, and is asked about.

International Civil Aviation Organization, Doc 9303, Machine Readable Travel Documents, part 3,
transliterations recommended for use by States; the table as reproduced by US Immigration and
Customs Enforcement, *Transliteration guide* and *Machine-readable Passport Name Standards*
(apostrophes are omitted, hyphens become a gap), both read in a copy on 2026-11-27. The letters
and the two examples are typed from there; the rest of each name is made up.
"""

import pytest

from thawline.person.names import NameLikeness, names_alike

TABLE = {
    "Á": "A",
    "À": "A",
    "Ã": "A",
    "Ă": "A",
    "Ā": "A",
    "Ą": "A",
    "Ä": "AE",
    "Å": "AA",
    "Ć": "C",
    "Ĉ": "C",
    "Č": "C",
    "Ċ": "C",
    "Ç": "C",
    "Ð": "D",
    "Ď": "D",
    "É": "E",
    "È": "E",
    "Ê": "E",
    "Ë": "E",
    "Ě": "E",
    "Ė": "E",
    "Ē": "E",
    "Ę": "E",
    "Ĕ": "E",
    "Ĝ": "G",
    "Ğ": "G",
    "Ġ": "G",
    "Ģ": "G",
    "Ħ": "H",
    "Ĥ": "H",
    "\N{LATIN SMALL LETTER DOTLESS I}": "I",
    "Í": "I",
    "ì": "I",
    "î": "I",
    "ï": "I",
    "Ĩ": "I",
    "İ": "I",
    "Ī": "I",
    "Į": "I",
    "Ĭ": "I",
    "Ĵ": "J",
    "Ķ": "K",
    "Ł": "L",
    "Ĺ": "L",
    "Ľ": "L",
    "Ļ": "L",
    "Ń": "N",
    "Ñ": "N",
    "Ň": "N",
    "Ņ": "N",
    "Ŋ": "N",
    "Ø": "O",
    "Ó": "O",
    "Ò": "O",
    "Ô": "O",
    "Ö": "OE",
    "Õ": "O",
    "Ő": "O",
    "Ō": "O",
    "Ŏ": "O",
    "Ŕ": "R",
    "Ř": "R",
}


@pytest.mark.parametrize(("letter", "printed"), TABLE.items())
def test_a_letter_as_a_travel_document_writes_it_is_asked_about(letter, printed):
    name, line = f"Bryony Be{letter}r", f"BE{printed}R<<BRYONY"

    assert names_alike(name, line) is NameLikeness.SPELLED


def test_an_apostrophe_that_is_omitted_is_asked_about():
    assert names_alike("Pat O'CONNOR", "OCONNOR<<PAT") is NameLikeness.SPELLED


def test_a_hyphen_that_became_a_gap_is_the_same_name():
    assert names_alike("MARIE-THERESE Loom", "LOOM<<MARIE<THERESE") is NameLikeness.SAME
