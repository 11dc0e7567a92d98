"""
A second, slow reading of docs/background/vial-clocks.md, to check the product against.

It shares no arithmetic with the product. Each rule is asked by its definition: what counts
at this instant, how much of that lies before it, and which is the first instant by which
it is enough. Sentences of the page stand beside the lines that follow them.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from tests.reference import carried
from tests.reference.facts import Fact, Handling, read_handling
from tests.reference.limits import FOREVER, Limit, caps, clocks, label
from tests.reference.thawing import Thaw, opening_findings, thaw_now
from tests.reference.wall_clock import MINUTE, micros, moment

from thawline.rules.protocol import Protocol

STOPS = {
    *("refrozen", "opened-while-thawing", "one-trip-only", "punctured-not-carried"),
    *("mode-not-allowed", "carried-too-long", "carried-too-long-in-all"),
    *("too-many-punctures", "too-many-doses", "past-use-by", "ran-out-before"),
}


class Answer(NamedTuple):
    """All that the rules say about one vial at one instant under one version."""

    limits: list[Limit]
    thaw: Thaw
    held: bool
    codes: set[str]


def reckon(story: dict[str, Any], protocol: Protocol, at: datetime) -> dict[str, Any]:
    """Return what the page says about the story under one protocol."""
    handling = read_handling(story, micros(at))
    return _told(handling, [answered(handling, protocol)])


def standing(
    story: dict[str, Any], versions: Sequence[Protocol], at: datetime
) -> dict[str, Any]:
    """Return what the page says about the story under the versions that were in force."""
    handling = read_handling(story, micros(at))
    in_turn = sorted(versions, key=lambda version: version.protocol.effective_from)
    starts = [micros(version.protocol.effective_from) for version in in_turn]
    starts[0] = -FOREVER  # before the first version, the oldest
    replaced = [*starts[1:], FOREVER]
    answers = [answered(handling, version) for version in in_turn]
    periods = list(zip(starts, replaced, answers, strict=True))

    marked = _marked(handling)
    counting = [a for begins, ends, a in periods if begins <= handling.at and ends > marked]
    told = _told(handling, counting)
    if _ran_out(handling, periods):
        told["codes"] = sorted({*told["codes"], "ran-out-before"})
        told["usable"] = False
    return told


def _marked(handling: Handling) -> int:
    """Marked by the last flag (its lo); without one, by leaving frozen."""
    flags = [flag.lo for flag in handling.all_of("flag")]
    if flags:
        return max(flags)
    return handling.at if handling.left is None else handling.left


def _ran_out(handling: Handling, periods: Iterable[tuple[int, int, Answer]]) -> bool:
    """Under a version, use-by strictly before that version was replaced, and not after `at`."""
    return not handling.use_by_unknown and any(
        replaced <= handling.at and earliest(answer).ends < replaced
        for _, replaced, answer in periods
    )


def _told(handling: Handling, answers: list[Answer]) -> dict[str, Any]:
    """Put the answers of all versions that count into one; the last is in force at `at`."""
    setting = [] if handling.use_by_unknown else answers
    sets = min(setting, key=lambda answer: earliest(answer).ends, default=None)
    first = None if sets is None else earliest(sets)
    codes = set().union(*(answer.codes for answer in answers))
    codes |= {"past-use-by"} if first and handling.at >= first.ends else set()
    held = any(answer.held for answer in answers)
    readies = [None if handling.discarded else answer.thaw.ready for answer in answers]
    return {
        "state": _state(handling, answers[-1].thaw, held=held),
        "usable": bool(first) and not held and not handling.discarded and not codes & STOPS,
        "ready_at": None if None in readies else moment(max(readies)),
        "use_by": None if first is None else moment(first.ends),
        "set_by": None if first is None else first.name,
        "clocks": [_row(limit) for limit in (sets or answers[-1]).limits],
        "codes": sorted(codes),
    }


def _row(limit: Limit) -> dict[str, Any]:
    """`started` and what follows from it are None for the label, which no fact started."""
    running = limit.started > -FOREVER
    return {
        "clock": limit.name,
        "item": limit.item,
        "started": moment(limit.started) if running else None,
        "ends": None if limit.ends is None else moment(limit.ends),
        "used": timedelta(microseconds=limit.used) if running else None,
        "used_min": limit.used / MINUTE if running else None,
        "left_min": (limit.allowed - limit.used) / MINUTE if running else None,
    }


# --- one version ------------------------------------------------------------------------


def answered(handling: Handling, protocol: Protocol) -> Answer:
    """Return all that one version says."""
    limits = [label(handling), *clocks(handling, protocol)]
    limits += carried.trip_clock(handling, protocol)
    limits += caps(handling, protocol)
    codes = _holds(handling, protocol) | carried.findings(handling, protocol)
    codes |= opening_findings(handling, protocol) | _dose_findings(handling, protocol)
    codes |= {"after-discard"} if handling.after_discard else set()
    held = bool(codes & {"held", "arrived-without-history", "table-out-of-range", "refrozen"})
    return Answer(limits, thaw_now(handling, protocol), held, codes)


def earliest(answer: Answer) -> Limit:
    """Return what would set use-by; of equal ends the first of label, clocks, caps."""
    ending = [limit for limit in answer.limits if limit.ends is not None]
    return min(ending, key=lambda limit: limit.ends)


# --- held, doses, state -----------------------------------------------------------------


def _holds(handling: Handling, protocol: Protocol) -> set[str]:
    codes = {"held" for fact in handling.all_of("hold") if not handling.released(fact)}
    for arrival in handling.chilled_arrivals:
        if arrival.lacks_history and not handling.released(arrival):
            codes.add("arrived-without-history")
    for fact in [*handling.all_of("to-table"), *handling.all_of("room-read")]:
        if _out_of_range(fact, protocol) and not handling.released(fact):
            codes.add("table-out-of-range")
    return codes | ({"refrozen"} if handling.refrozen else set())


def _out_of_range(fact: Fact, protocol: Protocol) -> bool:
    room_c = fact.more.get("room_c")
    if room_c is None:
        return False
    read_c = Decimal(str(room_c))
    return (
        read_c > protocol.bands["room"].high_c or read_c < protocol.bands["refrigerator"].low_c
    )


def _dose_findings(handling: Handling, protocol: Protocol) -> set[str]:
    drawn = sum(draw.more["doses"] for draw in handling.all_of("draw"))
    doses = protocol.product.doses_per_vial
    most = doses.value if doses.most is None else doses.most
    punctures = max(drawn, 1) if handling.first_open else 0
    codes = set()
    if protocol.punctures is not None and punctures > protocol.punctures.most:
        codes.add("too-many-punctures")
    if drawn > most:
        codes.add("too-many-doses")
    elif drawn > doses.value:
        codes.add("extra-dose")
    return codes


def _state(handling: Handling, thaw: Thaw, *, held: bool) -> str:
    in_order = {
        "discarded": handling.discarded,
        "held": held,
        "open": handling.first_open is not None,
        "frozen": handling.where == "freezer" and not handling.leavings,
        "thawing": handling.where == "freezer" or not _is_past(handling, thaw.thawed),
        "chilled": handling.where == "fridge",
        "warming": not _is_past(handling, thaw.ready),
        "ready": True,
    }
    return next(state for state, applies in in_order.items() if applies)


def _is_past(handling: Handling, instant: int | None) -> bool:
    return instant is not None and instant <= handling.at
