"""When a vial left the freezer, whether it went back, and what holds it."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, Occurred
from thawline.rules.protocol import Band
from thawline.vial.order import Numbered, certainly_after, followers, numbered
from thawline.vial.story import Fact, What

HELD = "HELD – DO NOT USE"  # noqa: RUF001  the words stand so on every label and screen
_LEAVING = (What.TO_FRIDGE, What.TO_TABLE, What.WARMED, What.OPEN, What.DRAW)


def leavings(facts: Sequence[Fact]) -> list[Numbered]:
    """Return the facts by which the vial had left the freezer, with when that was."""
    left = numbered(facts, *_LEAVING)
    for place, fact in numbered(facts, What.ARRIVE):
        if fact.history:
            left.append((place, _at(fact, fact.history.thawed_at or fact.when)))
    return left


def left_frozen(facts: Sequence[Fact]) -> Instant | None:
    """Return the earliest that the vial can have left the freezer; None while it has not."""
    left = leaving_time(facts)
    return left.lo if left else None


def leaving_time(facts: Sequence[Fact]) -> Occurred | None:
    """Return between when the vial left the freezer; None while it has not."""
    return first_of(fact for _, fact in leavings(facts))


def first_of(facts: Iterable[Fact]) -> Occurred | None:
    """Return between when the first of the facts happened; None of no facts."""
    whens = [fact.when for fact in facts]
    if not whens:
        return None
    return Occurred(min(when.lo for when in whens), min(when.hi for when in whens))


def refrozen(facts: Sequence[Fact]) -> bool:
    """
    Say whether the vial may have been frozen again after it had left the freezer.

    An arrival as frozen counts as a move to the freezer, whenever it was written down.
    """
    frozen = numbered(facts, What.TO_FREEZER, What.ARRIVE)
    back = any(not each[1].history and not left_after(each, facts) for each in frozen)
    return back or any(fact.room_c is not None and fact.room_c <= 0 for fact in facts)


def left_after(fact: Numbered, facts: Sequence[Fact]) -> bool:
    """Say whether every leaving of the freezer is certainly after the fact; yes of none."""
    return all(certainly_after(out, fact) for out in leavings(facts))


def missing_history(facts: Sequence[Fact]) -> tuple[str, ...]:
    """Return what a chilled arrival did not bring with it."""
    histories = (fact.history for fact in facts if fact.history)
    return tuple(name for history in histories for name in history.missing())


def holds(facts: Sequence[Fact], bands: Mapping[str, Band]) -> list[Finding]:
    """
    Return why the vial is held: every hold that no release certainly followed.

    A hold that was written down after a release was not known to those who released.
    The hold of a lot ends with the release of that lot, and nothing else does; a lot's
    release ends no hold of the vial's own.
    """
    found = ((each, _reason(each[1], bands)) for each in enumerate(facts))
    return [why for each, why in found if why and not _released(each, facts)]


def _released(held: Numbered, facts: Sequence[Fact]) -> bool:
    """Say whether a release ended it: one that came after it, and knew of it."""
    later = [each for each in numbered(facts, What.RELEASE) if each[0] > held[0]]
    return any(end.of_lot == held[1].of_lot for _, end in followers(held, later))


def _reason(fact: Fact, bands: Mapping[str, Band]) -> Finding | None:
    if fact.what is What.HOLD:
        code, whose = ("lot-held", " (whole lot)") if fact.of_lot else ("held", "")
        because = f": {fact.why}" if fact.why else ""
        return Finding(Level.STOP, code, f"{HELD}{whose}{because}")
    if fact.what is What.TO_TABLE:
        return table_finding(fact.room_c, bands)
    if fact.history and (missing := fact.history.missing()):
        says = f"held: it arrived chilled and this is not known: {', '.join(missing)}"
        return Finding(Level.STOP, "arrived-without-history", says)
    return None


def table_finding(room_c: Decimal | None, bands: Mapping[str, Band]) -> Finding | None:
    """Return why a table of that temperature holds its vials; None where it does not."""
    if room_c is None:
        return None
    room, fridge = bands["room"], bands["refrigerator"]
    if room_c > room.high_c:
        return _table(room_c, f"above {room.high_c} °C", room.item)
    if room_c < fridge.low_c:
        return _table(room_c, f"below {fridge.low_c} °C", fridge.item)
    return None


def _table(room_c: Decimal, limit: str, item: str) -> Finding:
    says = f"held, do not use, do not discard: the table was at {room_c} °C, {limit}"
    return Finding(Level.STOP, "table-out-of-range", says, item)


def _at(fact: Fact, when: Occurred) -> Fact:
    return Fact(fact.what, when, history=fact.history)
