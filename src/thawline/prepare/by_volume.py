"""
How many doses can be drawn from a vial, by its measured fill and what each syringe keeps.

Whole microlitres, and each vial for itself: what is left in two vials is never put together.
See docs/background/doses-in-a-vial.md.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from thawline.base.errors import RecordError
from thawline.base.quantities import Microlitres


@dataclass(frozen=True, slots=True)
class Drawable:
    """Whole doses that come out of a vial, and the volume left in it after the last of them."""

    doses: int
    left_ul: Microlitres


@dataclass(frozen=True, slots=True)
class Draw:
    """
    What one draw takes out of a vial: the dose, and what its syringe and needle keep.

    `most` is the largest number of doses the protocol allows from one vial, None without one.
    """

    dose_ul: Microlitres
    dead_space_ul: Microlitres
    most: int | None = None

    def __post_init__(self) -> None:
        if self.dose_ul <= 0:
            raise RecordError(
                f"a dose of {self.dose_ul} µL", advice="give the dose in µL, as in 500"
            )
        if self.dead_space_ul < 0:
            raise RecordError(
                f"a dead space of {self.dead_space_ul} µL",
                advice="give what syringe and needle keep in µL, 0 or more",
            )
        if self.most is not None and self.most < 0:
            raise RecordError(
                f"at most {self.most} doses from a vial", advice="give 0 or more doses"
            )


def doses_in_vial(fill_ul: Microlitres, draw: Draw) -> Drawable:
    """
    Return what can be drawn from one vial with that measured fill.

    A draw needs its whole volume, dead space included; a last part dose is left in the vial.

    Raises:
        RecordError: The fill is below zero.
    """
    if fill_ul < 0:
        raise RecordError(f"a fill of {fill_ul} µL", advice="give the measured fill in µL")
    takes = draw.dose_ul + draw.dead_space_ul
    fitting = fill_ul // takes
    doses = fitting if draw.most is None else min(fitting, draw.most)
    return Drawable(doses, Microlitres(fill_ul - doses * takes))


def doses_in_vials(fills_ul: Iterable[Microlitres], draw: Draw) -> int:
    """Return the doses in several vials: the sum of each one's own, nothing put together."""
    return sum(doses_in_vial(fill_ul, draw).doses for fill_ul in fills_ul)
