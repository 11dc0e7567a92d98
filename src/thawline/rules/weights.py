"""Whether the two weights of a needle row are one weight in two units."""

from collections.abc import Iterator
from decimal import Decimal

from thawline.base.findings import Level
from thawline.rules.slips import Leaves, Slip, number, shown

# By definition of the pound (NIST SP 811, Appendix B.8).
KG_PER_LB = Decimal("0.45359237")
# The printed table rounds to tens and fives: 130 lb (58.97 kg) stands beside 60 kg.
ROUNDING_KG = Decimal("1.5")


def wrong_weights(leaves: Leaves) -> Iterator[Slip]:
    """Yield each weight in pounds whose kilograms are those of another weight."""
    for key in leaves:
        bound, in_lb_key, _ = key.rpartition("_lb")
        in_lb, in_kg = number(leaves, key), number(leaves, f"{bound}_kg")
        if not in_lb_key or in_lb is None or in_kg is None:
            continue
        right = in_lb * KG_PER_LB
        if abs(in_kg - right) > ROUNDING_KG:
            code = "unit-slip" if in_lb == in_kg else "unit-mismatch"
            says = f"{shown(in_lb)} lb is {right:.1f} kg, not {shown(in_kg)} kg"
            yield Slip(code, Level.STOP, f"{bound}_kg", says, value=in_kg, unit="kg")
