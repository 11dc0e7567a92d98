"""
Protocols for random histories: figures that were never printed, and two published sets.

Sources of the published sets, as in the cold-chain check table of this project: first form,
Michigan DHHS bulletin 2021-03-01 and Wisconsin DHS bulletin March 2021; later form,
manufacturer's provider page as read about 2022; punctures, Oakland County 2022-09-01.
"""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import cache
from typing import Any

from msgspec.structs import replace
from tests.reference.dice import Dice

from thawline.base.durations import Allowance
from thawline.rules.protocol import (
    AfterOpening,
    Band,
    Cap,
    Clock,
    Count,
    Doses,
    Figure,
    Heading,
    Limit,
    Mode,
    Permission,
    Product,
    Protocol,
    RefrigeratorThaw,
    RoomThaw,
    Schedule,
    SecondDose,
    Source,
    Starts,
    Stops,
    Thaw,
    Transport,
)

MADE_UP = "demo"
_ALWAYS = datetime(1990, 1, 1, tzinfo=UTC)


@cache
def allows(days: int = 0, hours: int = 0, minutes: int = 0) -> Allowance:
    """Return a length of time as a protocol holds it."""
    return Allowance(days, timedelta(hours=hours, minutes=minutes))


def leaves_frozen(length: Allowance) -> Clock:
    """Return a clock from leaving frozen."""
    return Clock(item="C1", starts_on=Starts.LEAVES_FROZEN, allows=length, source=MADE_UP)


def at_room(length: Allowance, after_open: AfterOpening = AfterOpening.RUNS) -> Clock:
    """Return a clock that adds up stays on the table."""
    return Clock(
        item="C2",
        starts_on=Starts.TO_TABLE,
        stops_on=Stops.TO_FRIDGE,
        allows=length,
        after_open=after_open,
        source=MADE_UP,
    )


def from_open(length: Allowance) -> Clock:
    """Return a clock from opening."""
    return Clock(item="C4", starts_on=Starts.OPEN, allows=length, source=MADE_UP)


def joint(names: tuple[str, ...], length: Allowance) -> Cap:
    """Return a joint cap."""
    return Cap(item="C5", counts=names, allows=length, source=MADE_UP)


def thaw(takes: Allowance, then_room: Allowance, room_takes: Allowance) -> Thaw:
    """Return the thaw times."""
    return Thaw(
        refrigerator=RefrigeratorThaw(
            item="T1", takes=takes, then_room=then_room, source=MADE_UP
        ),
        room=RoomThaw(item="T2", takes=room_takes, source=MADE_UP),
    )


def carriage(
    by: dict[str, Allowance | None],
    total: Allowance | None,
    trips: int | None,
    may: bool | None,
) -> Transport:
    """Return the rules for carrying thawed vials."""
    return Transport(
        by={name: Mode(item="R1", source=MADE_UP, allows=time) for name, time in by.items()},
        total=None if total is None else Limit(item="R2", allows=total, source=MADE_UP),
        trips=None if trips is None else Count(item="R3", most=trips, source=MADE_UP),
        punctured=None if may is None else Permission(item="R4", may=may, source=MADE_UP),
    )


def _band(low_c: str, high_c: str) -> Band:
    low_f, high_f = (Decimal(c) * Decimal("1.8") + 32 for c in (low_c, high_c))
    low, high = Decimal(low_c), Decimal(high_c)
    return Band(item="S1", low_c=low, high_c=high, low_f=low_f, high_f=high_f, source=MADE_UP)


_FIGURE = Figure(item="D2", value=Decimal("0.5"), source=MADE_UP)
_SECOND = SecondDose(
    item="B1",
    earliest=allows(28),
    grace_for_judging=allows(4),
    late_after=allows(42),
    source=MADE_UP,
)
BANDS = {
    "frozen": _band("-50", "-15"),
    "refrigerator": _band("2", "8"),
    "room": _band("8", "25"),
}
WARM_BANDS = BANDS | {"room": _band("8", "30")}


def protocol(**parts: Any) -> Protocol:
    """Return a protocol like the one of the worked example, with these parts instead."""
    usual: dict[str, Any] = {
        "format": 1,
        "protocol": Heading(id="made-up", title="Made up", version=1, effective_from=_ALWAYS),
        "product": doses(10, 11),
        "bands": BANDS,
        "clocks": {
            "chilled": leaves_frozen(allows(30)),
            "room": at_room(allows(hours=12)),
            "open": from_open(allows(hours=6)),
        },
        "thaw": thaw(allows(hours=2, minutes=30), allows(minutes=15), allows(hours=1)),
        "schedule": Schedule(dose_2=_SECOND),
        "sources": {MADE_UP: Source(kind="invented for the demo")},
    }
    return Protocol(**(usual | parts))


def doses(value: int, most: int | None) -> Product:
    """Return a vial of so many doses."""
    counted = Doses(item="D1", value=value, most=most, source=MADE_UP)
    return Product(doses_per_vial=counted, dose_volume_ml=_FIGURE)


def effective(rules: Protocol, version: int, since: datetime) -> Protocol:
    """Return the protocol as that version, in force since then."""
    heading = replace(rules.protocol, version=version, effective_from=since)
    return replace(rules, protocol=heading)


FIRST_FORM = protocol(
    transport=carriage(
        {
            "hand-cart": allows(hours=1),
            "vehicle": allows(hours=12),
            "fixed-wing": allows(hours=3),
            "helicopter": None,
        },
        allows(hours=12),
        1,
        may=False,
    ),
)
LATER_FORM = protocol(
    clocks={
        "chilled": leaves_frozen(allows(30)),
        "room": at_room(allows(hours=24), AfterOpening.STOPS),
        "open": from_open(allows(hours=12)),
    },
    caps={"room_total": joint(("room", "open"), allows(hours=24))},
    punctures=Count(item="D6", most=20, source=MADE_UP),
    transport=FIRST_FORM.transport,
)

# --- random figures ---------------------------------------------------------------------

_CHILLED = [allows(1), allows(2, 6), allows(5), allows(30), allows(31), allows(36), allows(150)]
_CHILLED += [allows(hours=720), allows(hours=30)]
_ROOM = [
    allows(minutes=30),
    allows(hours=2),
    allows(hours=6),
    allows(hours=12),
    allows(hours=24),
]
_OPEN = [allows(hours=1), allows(hours=6), allows(hours=12), allows(1), allows(28)]
_CAPPED = [allows(hours=4), allows(hours=12), allows(hours=24)]
_THAWS = [
    thaw(allows(hours=2, minutes=30), allows(minutes=15), allows(hours=1)),
    thaw(allows(hours=14), allows(minutes=30), allows(minutes=30)),
    thaw(allows(minutes=45), allows(minutes=0), allows(hours=2)),
]
_SLOWEST = [None, allows(hours=1), allows(hours=3), allows(hours=12)]
MODES = ("hand-cart", "vehicle", "fixed-wing", "helicopter")


def random_rules(dice: Dice) -> Protocol:
    """Return one of the published sets, or a made-up one that may have anything."""
    if dice.happens(20):
        return dice.pick([FIRST_FORM, LATER_FORM])
    clocks = _random_clocks(dice)
    return protocol(
        product=doses(5 + dice.below(8), None) if dice.happens(20) else doses(10, 11),
        bands=WARM_BANDS if dice.happens(20) else BANDS,
        clocks=clocks,
        caps=_random_caps(dice, clocks),
        thaw=dice.pick(_THAWS) if dice.happens(60) else _THAWS[0],
        transport=_random_carriage(dice),
        punctures=Count(item="D6", most=dice.pick([4, 10, 20]), source=MADE_UP)
        if dice.happens(30)
        else None,
    )


def _random_clocks(dice: Dice) -> dict[str, Clock]:
    stops = AfterOpening.STOPS if dice.happens(30) else AfterOpening.RUNS
    clocks = {
        "chilled": leaves_frozen(dice.pick(_CHILLED)),
        "room": at_room(dice.pick(_ROOM), stops),
        "open": from_open(dice.pick(_OPEN)),
    }
    if dice.happens(25):
        stops = AfterOpening.STOPS if dice.happens(50) else AfterOpening.RUNS
        clocks["bench"] = at_room(dice.pick(_ROOM), stops)
    if dice.happens(10):
        del clocks[dice.pick(["chilled", "room", "open"])]
    if dice.happens(10):
        clocks = dict(reversed(clocks.items()))
    return clocks


def _random_caps(dice: Dice, clocks: dict[str, Clock]) -> dict[str, Cap]:
    if not dice.happens(40):
        return {}
    names = tuple(name for name in clocks if dice.happens(60)) or tuple(clocks)[:1]
    caps = {"room_total": joint(names, dice.pick(_CAPPED))}
    if dice.happens(20):
        caps["in_all"] = joint(tuple(clocks), dice.pick(_CAPPED))
    return caps


def _random_carriage(dice: Dice) -> Transport:
    named = [mode for mode in MODES if dice.happens(70)]
    by = {mode: dice.pick(_SLOWEST) for mode in named}
    total, trips = dice.pick(_SLOWEST), dice.pick([None, 1, 1, 2])
    return carriage(by, total, trips, dice.pick([None, False, True]))


def changed(dice: Dice, rules: Protocol) -> Protocol:
    """Return the protocol with some of its figures longer or shorter."""
    other = random_rules(dice)
    if dice.happens(30):
        return other
    if dice.happens(50):
        return replace(rules, thaw=other.thaw, transport=other.transport)
    shared = [name for name in rules.clocks if name in other.clocks]
    moved = {name: other.clocks[name] for name in shared if dice.happens(60)}
    return replace(rules, clocks=rules.clocks | moved, product=other.product)
