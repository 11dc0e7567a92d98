"""
Which of several words of a day counts: the last said by then, not the last written down.

Words are typed in later from paper, so the record's order says nothing of theirs. Where their
times do not tell which was last, the strictest counts. See docs/background/right-person.md.
"""

from collections.abc import Callable, Sequence
from typing import Protocol as Port
from typing import TypeVar
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, from_ms, last_moment, local_date, to_ms

ALLOWS = 0
"""How strict a word may be that lets a dose be given; what is stricter speaks against it."""


class Word(Port):
    """Something said not before `lo_ms` and not after `hi_ms`."""

    @property
    def lo_ms(self) -> int:
        """Return the earliest it can have been said."""

    @property
    def hi_ms(self) -> int:
        """Return the latest it can have been said."""


W = TypeVar("W", bound=Word)


def last_word(
    words: Sequence[W], at: Instant, zone: ZoneInfo, strictness: Callable[[W], int]
) -> W | None:
    """
    Return the word that counts at a moment, of those in the record's order; None without one.

    One of that local day, said by then. One that allows counts only if all of its time is so,
    any other if some of it is. Of those that may have been the last, the strictest counts, and
    of these the newest entry.
    """
    of_day = [word for word in words if _is_of(word, at, zone, strictness(word))]
    begun = max((word.lo_ms for word in of_day), default=None)
    last = [word for word in of_day if begun is not None and word.hi_ms >= begun]
    return max(reversed(last), key=strictness, default=None)


def stricter_word(
    words: Sequence[W], typed: W, zone: ZoneInfo, strictness: Callable[[W], int]
) -> W | None:
    """Return the stricter word of that day that counts in spite of one typed in now, if any."""
    of_day = last_moment(local_date(from_ms(typed.hi_ms), zone), zone)
    stands = last_word((*words, typed), of_day, zone, strictness)
    if stands is None or strictness(stands) <= strictness(typed):
        return None
    return stands


def _is_of(word: Word, at: Instant, zone: ZoneInfo, strictness: int) -> bool:
    day = local_date(at, zone)
    first, last = (local_date(from_ms(ms), zone) for ms in (word.lo_ms, word.hi_ms))
    if strictness <= ALLOWS:
        return first == day == last and word.hi_ms <= to_ms(at)
    return first <= day <= last and word.lo_ms <= to_ms(at)
