"""Random numbers that are the same on every machine and in every version: a seed, then bits."""

from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")
_WORD = 2**64 - 1


class Dice:
    """
    A stream of random choices.

    Source: the splitmix64 step, Steele, Lea and Flood, *Fast Splittable Pseudorandom Number
    Generators*, OOPSLA 2014, figure 17 (constants from memory, verify); nothing here depends
    on how good the numbers are.
    """

    def __init__(self, seed: int) -> None:
        self._state = (seed * 0x9E3779B97F4A7C15) & _WORD
        self.below(2)

    def below(self, limit: int) -> int:
        """Return a whole number from 0 up to, but not with, the limit."""
        self._state = (self._state + 0x9E3779B97F4A7C15) & _WORD
        mixed = self._state
        mixed = ((mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9) & _WORD
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & _WORD
        return (mixed ^ (mixed >> 31)) % limit

    def happens(self, percent: int) -> bool:
        """Say yes that often."""
        return self.below(100) < percent

    def pick(self, among: Sequence[T]) -> T:
        """Return one of them, each as likely."""
        return among[self.below(len(among))]
