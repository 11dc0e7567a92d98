"""
How long a needle for the adult deltoid: the first row of the protocol's table that fits.

The table is the protocol's; a weight on a limit belongs to the lighter row. See decision 0032.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from thawline.base.errors import RecordError, RuleError
from thawline.rules.protocol import Needle, Sex


class Unit(StrEnum):
    """What a weight was read in; the table holds both and neither is converted."""

    POUNDS = "lb"
    KILOGRAMS = "kg"


@dataclass(frozen=True, slots=True)
class Weight:
    """A person's weight as it was read."""

    value: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        if not self.value.is_finite() or self.value <= 0:
            raise RecordError(
                f"a weight of {self.value} {self.unit}", advice="give the weight, as in 150"
            )


def needle_for(sex: Sex, weight: Weight, table: Iterable[Needle]) -> Needle:
    """
    Return the row of the needle table for a person.

    Raises:
        RuleError: No row fits, or a row has its limit in the other unit only.
    """
    for row in table:
        if row.sex in {None, sex} and _fits(weight, row):
            return row
    raise RuleError(
        f"no needle for sex {sex.value} and {weight.value} {weight.unit} in the protocol",
        key="needles",
        advice="use a protocol with [[needles]] rows that reach this weight",
    )


def _fits(weight: Weight, row: Needle) -> bool:
    pounds, kilograms = (row.below_lb, row.most_lb), (row.below_kg, row.most_kg)
    below, most = pounds if weight.unit is Unit.POUNDS else kilograms
    if (
        (below, most)
        == (None, None)
        != (pounds if weight.unit is Unit.KILOGRAMS else kilograms)
    ):
        raise RuleError(
            f"item {row.item} has its weights in one unit only, and not in {weight.unit}",
            key="needles",
            advice="write the limit in lb and in kg",
        )
    if below is not None and weight.value >= below:
        return False
    return most is None or weight.value <= most
