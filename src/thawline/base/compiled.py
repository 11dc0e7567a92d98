"""
Number-crunching functions from one source: compiled by Numba, or run as plain Python.

Which of the two is chosen once a process, by Numba's own setting NUMBA_DISABLE_JIT, and both
give the same bits. Numba takes longer to import than most commands take to answer, so only
modules that really crunch numbers import this one, and only commands that need them do.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numpy as np
from numba import config, njit
from numpy.typing import NDArray

F = TypeVar("F", bound=Callable[..., object])
Values = NDArray[np.float64]
Counts = NDArray[np.int64]

COMPILES = not getattr(config, "DISABLE_JIT")  # noqa: B009  Numba sets it at import
word: type[int] = cast("type[int]", np.uint64) if COMPILES else int  # a machine word of 64 bits


def whole(number: int) -> int:
    """
    Return a whole number that the compiler takes for any whole number.

    What is called with a literal is compiled for that very number. Where a count begins with
    one and grows, it is compiled once more for all others: twice the wait of a first answer.
    """
    return cast("int", np.int64(number)) if COMPILES else number


NONE_YET = whole(0)


def compiled(function: F) -> F:
    """
    Return the function compiled on its first call and kept for later processes.

    A private one is called by compiled code alone: it is kept within its callers and has no way
    in from Python. That takes a third off the wait for a first answer.
    """
    inside = function.__name__.startswith("_")
    options: dict[str, Any] = {"no_cpython_wrapper": inside, "no_cfunc_wrapper": True}
    return cast("F", njit(cache=not inside, nogil=True, **options)(function))


def inlined(function: F) -> F:
    """Return a small function that the compiler writes out in each function that calls it."""
    return cast("F", njit(inline="always")(function))


def passed(values: Any) -> Values:
    """
    Return numbers as a kernel takes them: an array, or for plain Python a list (of lists).

    Plain Python reads a list several times faster than an array, and computes with the same
    bits. Only for kernels that use nothing but `len` and one index at a time.
    """
    array = np.ascontiguousarray(values, dtype=np.float64)
    return array if COMPILES else cast("Values", array.tolist())


def blank_counts(many: int) -> Counts:
    """Return so many whole numbers, zeros, as a kernel takes them (see `passed`)."""
    return np.zeros(many, np.int64) if COMPILES else cast("Counts", [0] * many)
