"""Choosing a row of the needle table, with made-up weights; the printed ones are elsewhere."""

from decimal import Decimal

import pytest

from thawline.base.errors import RecordError, RuleError
from thawline.give.needle import Unit, Weight, needle_for
from thawline.rules.protocol import Needle, Sex


def _row(item: str, **limits) -> Needle:
    one = Decimal(1)
    return Needle(item=item, shortest_in=one, longest_in=one, source="demo", **limits)


LIGHT = _row("N1", below_lb=Decimal(10), below_kg=Decimal(5))
MIDDLE = _row("N2", most_lb=Decimal(20), most_kg=Decimal(9))
WOMEN = _row("N3", sex=Sex.FEMALE, most_lb=Decimal(30), most_kg=Decimal(14))
MEN = _row("N4", sex=Sex.MALE, most_lb=Decimal(40), most_kg=Decimal(18))
HEAVY = _row("N5")
TABLE = (LIGHT, MIDDLE, WOMEN, MEN, HEAVY)


@pytest.mark.parametrize(
    ("sex", "weight", "unit", "item"),
    [
        ("F", "9.9", "lb", "N1"),
        ("F", "10", "lb", "N2"),
        ("F", "20", "lb", "N2"),
        ("F", "20.1", "lb", "N3"),
        ("F", "30", "lb", "N3"),
        ("F", "30.1", "lb", "N5"),
        ("M", "30.1", "lb", "N4"),
        ("M", "40.1", "lb", "N5"),
        ("M", "4.9", "kg", "N1"),
        ("M", "5", "kg", "N2"),
        ("M", "9", "kg", "N2"),
        ("M", "9.1", "kg", "N4"),
        ("F", "9.1", "kg", "N3"),
        ("F", "14.1", "kg", "N5"),
    ],
)
def test_a_weight_on_a_limit_belongs_to_the_lighter_row(sex, weight, unit, item):
    assert needle_for(Sex(sex), Weight(Decimal(weight), Unit(unit)), TABLE).item == item


@pytest.mark.parametrize("value", ["0", "-3", "NaN", "Infinity"])
def test_a_weight_that_cannot_be_is_refused_by_its_value(value):
    with pytest.raises(RecordError, match=f"weight of {value} kg"):
        Weight(Decimal(value), Unit.KILOGRAMS)


def test_a_table_that_ends_too_soon_is_not_stretched():
    with pytest.raises(RuleError, match="no needle for sex F and 31 lb"):
        needle_for(Sex.FEMALE, Weight(Decimal(31), Unit.POUNDS), TABLE[:-1])


@pytest.mark.parametrize(
    ("row", "unit"),
    [
        (_row("N9", most_lb=Decimal(20)), Unit.KILOGRAMS),
        (_row("N9", below_lb=Decimal(20)), Unit.KILOGRAMS),
        (_row("N9", most_kg=Decimal(20)), Unit.POUNDS),
    ],
)
def test_a_limit_in_the_other_unit_only_never_fits_everybody(row, unit):
    with pytest.raises(
        RuleError, match=f"N9 has its weights in one unit only, and not in {unit}"
    ):
        needle_for(Sex.MALE, Weight(Decimal(500), unit), [row])


@pytest.mark.parametrize("weight", ["0", "-1", "NaN", "Infinity"])
def test_a_weight_that_nobody_has_says_what_to_type(weight):
    with pytest.raises(RecordError) as told:
        Weight(Decimal(weight), Unit.KILOGRAMS)

    assert told.value.says == f"a weight of {weight} kg"
    assert told.value.advice == "give the weight, as in 150"


def test_the_lightest_weight_that_is_more_than_nothing_is_a_weight():
    assert Weight(Decimal("0.1"), Unit.POUNDS).value == Decimal("0.1")


def test_a_table_that_does_not_reach_a_weight_names_its_place_in_the_protocol():
    with pytest.raises(RuleError) as told:
        needle_for(Sex.MALE, Weight(Decimal(21), Unit.POUNDS), (LIGHT, MIDDLE))

    assert told.value.says == "no needle for sex M and 21 lb in the protocol"
    assert told.value.key == "needles"
    assert told.value.advice == "use a protocol with [[needles]] rows that reach this weight"


def test_a_limit_in_one_unit_only_says_to_write_both():
    with pytest.raises(RuleError) as told:
        needle_for(
            Sex.MALE, Weight(Decimal(8), Unit.KILOGRAMS), (_row("N9", most_lb=Decimal(9)),)
        )

    assert told.value.says == "item N9 has its weights in one unit only, and not in kg"
    assert told.value.key == "needles"
    assert told.value.advice == "write the limit in lb and in kg"
