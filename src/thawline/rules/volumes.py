"""
Whether the volumes of a vial add up: so many doses, with what stays in needle and syringe.

Exact decimals throughout; a dose of 5 mL for 0.5 mL cannot come out of any vial.
"""

from collections.abc import Iterator
from decimal import Decimal

from thawline.base.findings import Level
from thawline.rules.slips import Leaves, Slip, number, shown

_DOSE = "product.dose_volume_ml.value"
_FILL = "product.fill_volume_ml.value"
_DEAD = "product.dead_space_ml.value"
_DOSES = "product.doses_per_vial.value"
_MOST = "product.doses_per_vial.most"


def volume_sums(leaves: Leaves) -> Iterator[Slip]:
    """Yield where doses times volume and the fill of a vial contradict each other."""
    dose, doses = number(leaves, _DOSE), number(leaves, _DOSES)
    fill, dead = number(leaves, _FILL), number(leaves, _DEAD) or Decimal(0)
    if dose is None or doses is None or dose <= 0:
        return
    if fill is None:
        says = "no fill volume is given, so doses times volume cannot be checked"
        yield Slip("volume-sum", Level.CHECK, _DOSE, says, value=dose, unit="mL")
        return
    fit = int(fill // (dose + dead))
    most = max(doses, number(leaves, _MOST) or Decimal(0))
    per_dose = f"{shown(dose)} mL" + (f" and {shown(dead)} mL dead space" if dead else "")
    if fit < doses:
        says = f"{doses} doses of {per_dose} need more than the fill of {shown(fill)} mL"
        yield Slip("volume-sum", Level.STOP, _DOSE, says, value=dose, unit="mL")
    elif fit > most + 1:
        says = f"the fill of {shown(fill)} mL holds {fit} doses of {per_dose}, not {most}"
        yield Slip("volume-sum", Level.STOP, _DOSE, says, value=dose, unit="mL")
