"""Texts of a protocol with its figures in them; the figures are those of the small protocol."""

import pytest
from tests.cast import small

from thawline.base.errors import RuleError
from thawline.rules.spoken import spoken
from thawline.rules.wordings import Words


def test_a_lesson_says_the_figure_of_its_own_protocol():
    says = Words(en="A dose is {product.dose_volume_ml.value} mL, open {clocks.open.allows}.")
    assert spoken(small().protocol, says) == "A dose is 0.5 mL, open 5 hours."


def test_a_text_that_nobody_translated_is_told_in_english():
    says = Words(en="{product.doses_per_vial.value} doses", es=None)
    assert spoken(small().protocol, says, "es") == "8 doses"


def test_a_translated_text_says_its_figures_in_that_language():
    says = Words(en="Open", es="Abierto, {clocks.open.allows}")
    assert spoken(small().protocol, says, "es") == "Abierto, 5 horas"


def test_what_a_label_fills_when_it_is_printed_is_left_for_the_label():
    assert spoken(small().protocol, Words(en="{vial} lot {lot}")) == "{vial} lot {lot}"


def test_a_figure_that_the_protocol_does_not_have_is_no_sentence():
    with pytest.raises(RuleError, match=r"punctures\.most"):
        spoken(small().protocol, Words(en="at most {punctures.most}"))
