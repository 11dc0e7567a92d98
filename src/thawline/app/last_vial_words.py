"""
The advice on the last vial in words: the best choice now, each choice there is, and the days.

The terminal and the screen say the same. You decide; this is advice.
"""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from thawline.app.last_vial import Known, LastVial
from thawline.base.durations import spoken
from thawline.base.instants import Instant, local_time
from thawline.draw.dots import Days
from thawline.plan.last_vial import Expected, Step


def advice(last: LastVial) -> str:
    """Return the best choice now, in one word of the JSON form."""
    if last.solved.best is not Step.WAIT:
        return last.solved.best.name.lower().replace("_", "-")
    return "wait" if last.waits_until else "no-vial"


def choices(last: LastVial, known: Known) -> Iterator[tuple[str, Expected, int]]:
    """Yield each choice there is now, what it leads to, and how many names it calls."""
    vial = known.chilled[0] if known.chilled else "a vial"
    names = {
        Step.WAIT: "wait",
        Step.BRING: f"bring {vial} now, then as best",
        Step.CALL: "call standby now",
        Step.BRING_AND_CALL: f"bring {vial} and call standby now",
    }
    for step, (told, called) in last.solved.first.items():
        yield names[step], told, called
    if last.solved.bring_only is not None:
        yield f"bring {vial} now, call nobody", last.solved.bring_only, 0
    yield "neither: ask to come back", last.solved.nothing, 0


def days_of(last: LastVial, known: Known, zone: ZoneInfo, *, demo: bool) -> Days:
    """Return the picture's days."""
    clock = _clock(known.now, zone)
    return Days(
        title=f"Open another vial? {clock}",
        come=[each + last.hours.waiting for each in last.days],
        in_hand=last.hours.in_hand,
        says="20 equally likely days, worked out exactly, nothing drawn by lot",
        demo=demo,
    )


def says(last: LastVial, known: Known, zone: ZoneInfo) -> str:
    """Return the advice in a sentence or two."""
    best = last.solved.best
    vial = known.chilled[0] if known.chilled else None
    until = _clock(last.waits_until, zone)
    if best is Step.WAIT and last.waits_until:
        keeps = f" {vial} is chilled and unopened: it keeps, and brought to the table then it"
        keeps += f" is ready ({spoken(known.warm)}) when it may be needed."
        sooner = last.chance_sooner
        unless = f" Sooner on {100 * sooner:.0f} of 100 days: ask again." if sooner else ""
        return f"Wait until {until}.{keeps if vial else ''}{unless}"
    if best is Step.WAIT and vial is None and last.short_days:
        return (
            "No chilled vial is here to be brought: nothing to open. Tell those booked last, "
            "and look for a thawed vial at another site."
        )
    if best is Step.WAIT:
        return "No other vial: waiting to the close is best, whoever comes."
    called = last.solved.first[best][1]
    call = f"call {called} {_names(called)} of the standby list" if called else ""
    bring = f"bring {vial} to the table" if best is not Step.CALL else ""
    return f"Now: {' and '.join(part for part in (bring, call) if part)}."


def _names(count: int) -> str:
    return "name" if count == 1 else "names"


def _clock(at: Instant | None, zone: ZoneInfo) -> str:
    return "-" if at is None else local_time(at, zone).strftime("%H:%M")
