"""
Doses drawn in practice from a vial, against a printed trial of a drawing technique.

Vaccines 2023, 11(4):741: five vials filled with 6.5 mL gave 60 doses of 0.5 mL, 12 a vial, so
0.5417 mL are used a dose; as the check tables of 2026-11-25 give it. Row D5 of the cold-chain
check table, with 541 µL.
"""

from thawline.app.calculators import vial_yield


def test_six_and_a_half_millilitres_gave_twelve_doses():
    assert vial_yield(6500, 541, 0, None).doses == 12
    assert vial_yield(6500, 500, 41, None).doses == 12
