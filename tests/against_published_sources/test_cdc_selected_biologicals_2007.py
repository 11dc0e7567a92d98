"""
Centers for Disease Control and Prevention, "Vaccine Management: Recommendations for Storage
and Handling of Selected Biologicals", November 2007; and Notice to Readers, MMWR 52(42), 2003.

Both print 35 °F for 2 °C. Row U4 of the project's cold-chain check values, read on 2026-11-25:
the exact number is 35.6, the difference 0.6 °F, known as an old rounding.
"""

from tests.against_published_sources.printed_figures import slips_in_band


def test_u4_35_fahrenheit_for_2_celsius_is_known_as_an_old_rounding():
    assert slips_in_band("refrigerator", (2, 35), (8, 46)) == {"legacy-rounding"}


def test_u4_the_form_printed_now_is_in_order():
    assert slips_in_band("refrigerator", (2, 36), (8, 46)) == set()
