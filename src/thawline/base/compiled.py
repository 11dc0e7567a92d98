"""
Number-crunching functions from one source: compiled by Numba, or run as plain Python.

Which of the two is chosen once a process, by Numba's own setting NUMBA_DISABLE_JIT, and both
give the same bits. Numba takes longer to import than most commands take to answer, so only
modules that really crunch numbers import this one, and only commands that need them do.
"""

from collections.abc import Callable
from typing import TypeVar, cast

from numba import njit

F = TypeVar("F", bound=Callable[..., object])


def compiled(function: F) -> F:
    """Return the function compiled on its first call and kept for later processes."""
    return cast("F", njit(cache=True, nogil=True)(function))
