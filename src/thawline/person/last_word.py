"""
Which of several words of one day counts: the last that was said, not the last written down.

Words are typed in later from paper, so the record's order says nothing of theirs. Where their
times do not tell which was last, the strictest counts. See docs/background/right-person.md.
"""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Protocol as Port
from typing import TypeVar
from zoneinfo import ZoneInfo

from thawline.base.instants import from_ms, local_date

ALLOWS = 0
"""How strict a word is that speaks against nothing; any other is stricter."""


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
    words: Sequence[W], day: date, zone: ZoneInfo, strictness: Callable[[W], int]
) -> W | None:
    """
    Return the word that counts on a local day, of those in the record's order; None without.

    One that allows counts only if all of its time is of that day, any other if some of it is.
    Of words that may have been the last, the strictest counts, and of those the newest entry.
    """
    of_day = [word for word in words if _is_of(word, day, zone, strictness(word))]
    begun = max((word.lo_ms for word in of_day), default=None)
    last = [word for word in of_day if begun is not None and word.hi_ms >= begun]
    return max(reversed(last), key=strictness, default=None)


def _is_of(word: Word, day: date, zone: ZoneInfo, strictness: int) -> bool:
    first, last = (local_date(from_ms(ms), zone) for ms in (word.lo_ms, word.hi_ms))
    return first == day == last if strictness == ALLOWS else first <= day <= last
