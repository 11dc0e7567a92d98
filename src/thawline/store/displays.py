"""
How much a coarse display hides.

A display of whole degrees Fahrenheit that shows 46 stands for 45.5 to 46.5 °F, which is 7.50 to
8.06 °C: on both sides of the limit. Such a reading cannot be decided from the display.
Source: the project's cold-chain notes, 1.4, check 10.
"""

import numpy as np
from numpy.typing import NDArray

from thawline.store.readings import Temperatures

# By definition F = 1.8 C + 32: a degree Fahrenheit is 5000/9 thousandths of a degree Celsius.
_MC_IN_NINE_F = 5_000
_NINE = 9
HALF_FAHRENHEIT_MC = -(-_MC_IN_NINE_F // (2 * _NINE))
# Readings in Celsius are written in tenths at the finest that is common; whole degrees
# Fahrenheit show themselves by the thousandths that they leave. [common practice]
_TENTH_MC = 100


def half_step_mc(temps_mc: Temperatures, step_mc: int | None) -> int:
    """
    Return how far the true temperature may lie from the display, rounded up; 0 if not coarse.

    Args:
        temps_mc: shape (n,), thousandths of a degree Celsius.
        step_mc: The smallest step the display shows; None: not told by the file.
    """
    if step_mc is not None:
        return -(-step_mc // 2)
    return HALF_FAHRENHEIT_MC if is_whole_fahrenheit(temps_mc) else 0


def is_whole_fahrenheit(temps_mc: Temperatures) -> bool:
    """Say whether all readings are whole degrees Fahrenheit and not just round in Celsius."""
    return bool(shows_thousandths(temps_mc).any() and whole_fahrenheit(temps_mc).all())


def shows_thousandths(temps_mc: Temperatures) -> NDArray[np.bool_]:
    """Say for each reading whether it is finer than tenths of a degree Celsius."""
    return np.not_equal(temps_mc % _TENTH_MC, 0)


def whole_fahrenheit(temps_mc: Temperatures) -> NDArray[np.bool_]:
    """Say for each reading whether it is a whole degree Fahrenheit, rounded to 0.001 °C."""
    wide = temps_mc.astype(np.int64) * _NINE
    whole = (2 * wide + _MC_IN_NINE_F) // (2 * _MC_IN_NINE_F) * _MC_IN_NINE_F
    apart: NDArray[np.int64] = np.abs(wide - whole)
    return 2 * apart < _NINE
