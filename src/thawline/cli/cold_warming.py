"""`thawline cold warming`: how long a warming freezer or refrigerator has, said as a range."""

from typing import Any

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, written
from thawline.cli.answers import Answer
from thawline.cli.asking import moment
from thawline.cli.cold_files import Against, Held, held_against
from thawline.cli.logger_options import AS_IT_IS, FileLayout
from thawline.cli.options import Celsius, Readable
from thawline.cli.text import clock_time, time_left, wrapped
from thawline.draw.trace import spoken_degrees
from thawline.store.warming import (
    SHARE,
    Left,
    Verdict,
    Warming,
    WarmingQuestion,
    hold_over,
)
from thawline.store.warming import warming as time_left_of

NO_AGAINST = Against()
_MC = 1_000
_IN_20 = 20
_LIMITS = (
    "It holds only while nothing changes: doors shut, the same room, nothing put in. Ice packs "
    "hold a temperature while they melt and then let go. Read the display again and ask anew."
)


def warming(
    file: Readable | None = None,
    /,
    *,
    against: Against = NO_AGAINST,
    layout: FileLayout = AS_IT_IS,
    ambient_c: Celsius = None,
    cut: str | None = None,
) -> Answer:
    """
    Say how long a warming unit has until it leaves its band: from when to when, never a point.

    thawline cold warming freezer-1.csv --band frozen
    thawline cold warming --unit fridge-2 --ambient-c 22 --cut 17:05

    Inspect by the early end. Too little to tell is said so. Records nothing.

    Parameters
    ----------
    file
        A logger's file; a lone hyphen is standard input.
    ambient_c
        What is around the unit, degrees Celsius; it makes the range narrower.
    cut
        When the power was cut: only readings from then on count, and the hold-over is told.
    """
    held = held_against(file, against, layout)
    asked = WarmingQuestion(
        limits=held.question.limits,
        accuracy_mc=held.question.accuracy_mc,
        ambient_c=None if ambient_c is None else float(ambient_c),
    )
    record = held.record
    since = None if cut is None else moment(cut, held.last, held.zone)
    found = time_left_of(record, asked) if since is None else hold_over(record, since, asked)
    return Answer(
        data=warming_data(found, held, since),
        text="\n".join(warming_lines(found, held, since)),
        alerts=(*_alerts(found, held), *held.alerts),
        not_known=_not_known(found),
        protocol=held.ref,
    )


def warming_data(found: Warming, held: Held, cut: Instant | None) -> dict[str, Any]:
    """Return the JSON form; a time that nobody can tell is null."""

    def at(instant: Instant | None) -> str | None:
        return None if instant is None else written(instant, held.zone)

    left = found.left
    sure = found.verdict is not Verdict.TOO_LITTLE
    return {
        "verdict": found.verdict.value,
        "last": at(found.last),
        "last_c": found.last_mc / _MC,
        "since": at(found.since),
        "readings": found.looked_at,
        "side": left.side.value if left else None,
        "limit_c": left.limit_mc / _MC if left else None,
        "inspect_by": at(left.earliest) if left else None,
        "latest": at(left.latest) if left else None,
        "share": SHARE if left and sure else None,
        "within_swing": found.within_swing,
        "out_after": at(found.out_after),
        "out_from": at(found.out_from),
        "cut": at(cut),
        "why": found.why,
    }


def warming_lines(found: Warming, held: Held, cut: Instant | None) -> list[str]:
    """Return the answer as a person reads it."""
    seen = f"{spoken_degrees(found.last_mc / _MC)} at {_clock(found.last, held, found)}"
    lines = [wrapped(line) for line in _verdict(found, held, seen)]
    if cut is not None and found.left:
        lines.append(_hold_over(found.left, cut))
    if found.left:
        lines.append(wrapped(_LIMITS))
    return lines


def _verdict(found: Warming, held: Held, seen: str) -> list[str]:
    if found.verdict is Verdict.OUT:
        return [f"It is out of band: {seen}. {_since(found, held)}"]
    if found.verdict is Verdict.STEADY:
        return [
            f"It goes no further than its usual swing: {seen}, looked at since "
            f"{_start(found, held)}."
        ]
    if found.left is None:
        return [f"Too little to tell: {found.why}. Last seen {seen}."]
    if found.verdict is Verdict.TOO_LITTLE:
        return [f"Too little to tell: {found.why}. Last seen {seen}.", _fastest(found, held)]
    going = "warming" if found.verdict is Verdict.WARMING else "cooling"
    lines = [f"It is {going}: {seen}, from {found.looked_at} readings since "
             f"{_start(found, held)}.", _range(found.left, found, held)]  # fmt: skip
    if found.within_swing:
        lines.append(
            "It went as far before: it may be an ordinary cycle. If it is not, the range holds."
        )
    return lines


def _range(left: Left, found: Warming, held: Held) -> str:
    limit = spoken_degrees(left.limit_mc / _MC)
    often = f"{SHARE * _IN_20:.0f} of {_IN_20} such ranges hold the true time"
    if left.earliest is None:
        return f"It will not be at {limit} within a day of that ({often})."
    inspect = _inspect(found, held)
    early = _clock(left.earliest, held, found)
    if left.latest is None:
        later = "perhaps not within a day"
        return f"{inspect}: it is at {limit} then at the earliest, {later} ({often})."
    late = _clock(left.latest, held, found)
    return f"{inspect}: it is at {limit} between {early} and {late} ({often})."


def _inspect(found: Warming, held: Held) -> str:
    """Return by when somebody must look: the early end, which may be now."""
    early = found.left.earliest if found.left else None
    if early is None or early <= found.last:
        return "Inspect now"
    ahead = time_left(early - found.last)
    return f"Inspect by {_clock(early, held, found)} ({ahead} after that reading)"


def _fastest(found: Warming, held: Held) -> str:
    left = found.left
    assert left is not None  # noqa: S101  the caller looked
    limit = spoken_degrees(left.limit_mc / _MC)
    if left.earliest is None:
        return f"At its fastest step so far it would take more than a day to {limit}."
    early = _clock(left.earliest, held, found)
    return (
        f"At its fastest step so far it would be at {limit} by {early}, or sooner. Inspect now."
    )


def _hold_over(left: Left, cut: Instant) -> str:
    early = "more than a day" if left.earliest is None else time_left(left.earliest - cut)
    late = "perhaps more than a day" if left.latest is None else time_left(left.latest - cut)
    return f"Hold-over, counted from the cut: at least {early}, at most {late}."


def _since(found: Warming, held: Held) -> str:
    assert found.out_from is not None  # noqa: S101  it is out
    seen = _clock(found.out_from, held, found)
    if found.out_after is None:
        return f"No reading here is in band; the first is of {seen}."
    return f"It left between {_clock(found.out_after, held, found)} and {seen}."


def _alerts(found: Warming, held: Held) -> list[Finding]:
    if found.verdict is Verdict.OUT:
        says = "out of band: held, do not use, do not discard, keep cold and apart, call"
        return [Finding(Level.STOP, "out-of-band", says)]
    if _leaves_band(found):
        says = f"the unit is {found.verdict.value}: {_inspect(found, held).lower()}"
        return [Finding(Level.ACT, "leaves-band", says)]
    if found.verdict is Verdict.TOO_LITTLE:
        says = "how long it has is not known"
        return [Finding(Level.CHECK, "time-left-not-known", says)]
    return []


def _leaves_band(found: Warming) -> bool:
    moves = found.verdict in {Verdict.WARMING, Verdict.COOLING} and not found.within_swing
    return moves and found.left is not None and found.left.earliest is not None


def _not_known(found: Warming) -> list[str]:
    names = []
    if found.verdict is Verdict.TOO_LITTLE:
        names += ["inspect_by", "latest"] if found.left is None else ["latest"]
    elif found.left is not None and found.left.latest is None:
        names.append("latest")
    return names + (["out_after"] if found.out_from and found.out_after is None else [])


def _start(found: Warming, held: Held) -> str:
    return _clock(found.since, held, found)


def _clock(at: Instant, held: Held, found: Warming) -> str:
    return clock_time(at, held.zone, local_date(found.last, held.zone))
