"""Doses, volumes and fill of one vial; all figures made up and checked by hand."""

import pytest
from tests.rules.made_up import changed

from thawline.rules.reading import examined
from thawline.rules.volumes import volume_sums


def _found(*swaps):
    return [(s.code, s.level.value) for s in volume_sums(examined(changed(*swaps)).leaves)]


def _product(doses="value = 8, most = 9", dose="0.4", fill="4", dead="0.05"):
    return (
        ("value = 8, most = 9", doses),
        ("value = 0.4,", f"value = {dose},"),
        ("value = 4,", f"value = {fill},"),
        ("value = 0.05,", f"value = {dead},"),
    )


@pytest.mark.parametrize(
    ("product", "adds_up"),
    [
        (_product(), True),                                    # 4 / 0.45 = 8.9
        (_product(fill="3.6"), True),                          # exactly 8 doses
        (_product(fill="3.599"), False),                       # one microlitre short
        (_product(dose="4"), False),                           # ten times too much
        (_product(dose="0.04"), False),                        # 44 doses for 9
        (_product(dead="0"), True),                            # 10, one more than the most
        (_product(dead="0", fill="4.399"), True),              # still 10
        (_product(dead="0", fill="4.4"), False),               # 11, two more than the most
        (_product(doses="value = 8", dead="0", fill="3.6"), True),   # 9, one more than 8
        (_product(doses="value = 8", dead="0", fill="4"), False),    # 10, two more than 8
    ],
)  # fmt: skip
def test_doses_times_volume_must_fit_the_fill(product, adds_up):
    assert _found(*product) == ([] if adds_up else [("volume-sum", "stop")])


def test_without_dead_space_none_is_taken_off():
    gone = ('dead_space_ml = { item = "D4", value = 0.05, source = "tale" }\n', "")

    assert _found(gone) == []


def test_without_a_fill_the_sum_is_said_not_to_be_checked():
    gone = ('fill_volume_ml = { item = "D3", value = 4, source = "tale" }\n', "")

    assert _found(gone) == [("volume-sum", "check")]


@pytest.mark.parametrize("dose", ["0", "-1", '"0.4"'])
def test_a_dose_that_is_no_volume_is_left_to_other_checks(dose):
    assert _found(("value = 0.4,", f"value = {dose},")) == []


def test_without_dead_space_none_is_spoken_of():
    (slip,) = volume_sums(examined(changed(*_product(dead="0", fill="4.4"))).leaves)

    assert slip.says == "the fill of 4.4 mL holds 11 doses of 0.4 mL, not 9"
