"""
Whom to call about an alert, in which order, and who is due now.

Software that sends nothing wakes nobody: this says whom a person, or the site's own dialler, is
to call, and from when. The next of the chain is due when the time to answer has passed, or at
once when somebody who answered cannot go. It ends when somebody takes it on.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import cycle, islice, takewhile
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_time


@dataclass(frozen=True, slots=True)
class Called:
    """One of the people whom a site calls, with role and telephone number."""

    name: str
    role: str
    number: str


@dataclass(frozen=True, slots=True)
class Answered:
    """Somebody answered about a unit; `takes`: it is theirs now."""

    by: str
    at: Instant
    takes: bool = True


@dataclass(frozen=True, slots=True)
class Call:
    """A call that is due from an instant on, unless somebody has taken it on before."""

    who: Called
    at: Instant


def owner(answers: Sequence[Answered]) -> Answered | None:
    """Return the first answer of somebody who takes it on."""
    return min((a for a in answers if a.takes), key=lambda a: a.at, default=None)


def calls(
    chain: Sequence[Called],
    raised: Instant,
    next_after: timedelta | None,
    answers: Sequence[Answered] = (),
) -> Iterator[Call]:
    """
    Yield the calls of an alert in their order, without end while nobody takes it on.

    After the last of the chain it starts again with the first.

    Args:
        chain: Whom to call, in order.
        raised: When the alert was raised, and the first call due.
        next_after: How long each may take to answer; None or no time at all: the whole chain
            is due at once, and once.
        answers: What was answered so far. A call at or after the moment that somebody took
            it on is not due.
    """
    taken = owner(answers)
    due = (
        _at_once(chain, raised)
        if not next_after
        else _one_by_one(chain, raised, next_after, answers)
    )
    return takewhile(lambda call: taken is None or call.at < taken.at, due)


def due_calls(all_calls: Iterator[Call], now: Instant) -> tuple[Call, ...]:
    """Return the calls that are due by now, the newest last."""
    return tuple(takewhile(lambda call: call.at <= now, all_calls))


def printed_chain(
    chain: Sequence[Called],
    raised: Instant,
    next_after: timedelta | None,
    answers: Sequence[Answered],
    zone: ZoneInfo,
) -> list[str]:
    """Return the chain of an alert once through, a line a call, as it is printed beside it."""
    once = list(islice(calls(chain, raised, next_after, answers), len(chain)))
    return [call_line(call, zone, first=number == 0) for number, call in enumerate(once)]


def call_line(call: Call, zone: ZoneInfo, *, first: bool) -> str:
    """Return whom you call and when: "Not answered by 02:24: you call Rowan T., ..."."""
    begins = "You call" if first else f"Not answered by {_clock(call.at, zone)}: you call"
    return f"{begins} {short_name(call.who.name)}, {call.who.role}, {call.who.number}"


def short_name(name: str) -> str:
    """Return the given name and the first letter of the last: Rowan T."""
    first, *more = name.split()
    return f"{first} {more[-1][0]}." if more else first


def _at_once(chain: Sequence[Called], raised: Instant) -> Iterator[Call]:
    return (Call(who, raised) for who in chain)


def _one_by_one(
    chain: Sequence[Called],
    raised: Instant,
    next_after: timedelta,
    answers: Sequence[Answered],
) -> Iterator[Call]:
    at = raised
    cannot = {a.by: a.at for a in sorted(answers, key=lambda a: a.at) if not a.takes}
    for who in cycle(chain):
        yield Call(who, at)
        said_no = cannot.pop(who.name, None)
        waited = Instant(at + next_after)
        at = waited if said_no is None else min(waited, max(at, said_no))


def _clock(at: Instant, zone: ZoneInfo) -> str:
    return local_time(at, zone).strftime("%H:%M")
