"""
Monday 02:08 at Harrowmint Hall: the freezer warms, 84 vials.

A compressor fails soon after midnight. The logger is followed; the night is covered by a test
call; the first of the chain does not answer, the second comes. What has thawed goes to the
fridge, held, and is never frozen again.
"""

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from thawline.app import vials
from thawline.app.acts import Doing
from thawline.app.excursions import hold_exposed, warm_unit
from thawline.app.ports import Site
from thawline.app.watching import answer, answer_test_call
from thawline.base.errors import RefusedError
from thawline.base.instants import Instant
from thawline.demo import lots
from thawline.demo.acts import NotAsPlannedError, Player
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.clock import MovedClock
from thawline.demo.cold_model import FREEZER as MODEL
from thawline.demo.cold_model import Happening, What, readings_of
from thawline.demo.cold_store import Logger, Watch, after, held_says
from thawline.demo.crew import Crew
from thawline.demo.district import Place, dice
from thawline.draw.trace import Trace
from thawline.ledger.events import VialMoved
from thawline.store.units import Followed, StorageUnit
from thawline.store.warming import Warming, WarmingQuestion, warming

UNITS = (
    StorageUnit("freezer-1", "frozen", Followed.BY_HAND, None, "Freezer 1"),
    StorageUnit("freezer-2", "frozen", Followed.LIVE, Decimal("0.5"), "Freezer 2"),
    StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND, None, "Refrigerator 1"),
)
_ROOM_C = 21.0
_FAILS_S = -2 * MINUTE_S
_EVERY_S = 5 * MINUTE_S
_FROM_S = -6 * HOUR_S + 3 * MINUTE_S
_ASKED_S = HOUR_S + 18 * MINUTE_S
_RAISED_S = 2 * HOUR_S + 8 * MINUTE_S
_LOOKED_S = tuple(_RAISED_S + n * MINUTE_S for n in (5, 10, 15))
_ANSWERED_S = 2 * HOUR_S + 24 * MINUTE_S
_MOVED_S = 2 * HOUR_S + 47 * MINUTE_S
_LAST_S = 3 * HOUR_S + 3 * MINUTE_S
_TOLD_S = 9 * HOUR_S + 40 * MINUTE_S
_TEST_CALL_S = -4 * HOUR_S
WARMS = UNITS[1].name
WHY = "freezer 2 out of band in the night"


@dataclass(frozen=True, slots=True)
class FreezerNight:
    """What the use cases answered in that night and on the morning after."""

    watch: Watch
    asked: Instant
    warming: Warming
    vials: tuple[str, ...]
    refrozen: RefusedError
    held_at: Instant
    told_at: Instant
    trace: Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Hall:
    """The site in that night: its ledger, its clock, its people; midnight of the Monday."""

    site: Site
    home: Path
    place: Place
    player: Player
    clock: MovedClock
    crew: Crew
    midnight: Instant
    seed: int


def freezer_night(hall: Hall) -> FreezerNight:
    """Play the night through the use cases that a person would use."""
    watch = Watch(hall.site, hall.home, _logger(hall), hall.crew.coordinator)
    _at(hall, _TEST_CALL_S)
    doing = hall.player.doing(hall.crew.lead)
    answer_test_call(hall.site, doing, hall.crew.coordinator, None, dialler=False)
    for at_s in (_TEST_CALL_S, _ASKED_S):
        _at(hall, at_s)
        watch.arrives(at_s)
    asked = hall.clock.now()
    found = _time_left(watch)
    for at_s in range(_ASKED_S + _EVERY_S, _RAISED_S + 1, _EVERY_S):
        _at(hall, at_s)
        watch.arrives(at_s)
    for at_s in _LOOKED_S:
        _at(hall, at_s)
        watch.arrives(at_s)
    _at(hall, _ANSWERED_S)
    on_the_way = hall.player.doing(hall.crew.lead, why="on my way, 20 minutes")
    answer(hall.site, on_the_way, WARMS, takes=True)
    held_at = _hold(hall)
    held = _move(hall)
    refused = _never_refrozen(hall, held[0])
    _at(hall, _LAST_S)
    watch.arrives(_LAST_S)
    trace = watch.picture(held_says(len(held)))
    told_at = _told_to_discard(hall, held)
    return FreezerNight(watch, asked, found, held, refused, held_at, told_at, trace)


def _at(hall: Hall, at_s: int) -> None:
    hall.clock.move(after(hall.midnight, at_s))


def _logger(hall: Hall) -> Logger:
    failed = Happening(What.FAILS, _FAILS_S, 24 * HOUR_S)
    defrost = Happening(What.DEFROST, -3 * HOUR_S, -3 * HOUR_S + 8 * MINUTE_S)
    throws = dice(hall.seed, hall.place.name, "freezer night")
    times = range(_FROM_S, _LAST_S + 1, _EVERY_S)
    return Logger(
        unit=UNITS[1],
        place=hall.place.title,
        midnight=hall.midnight,
        every_s=_EVERY_S,
        seen=readings_of(MODEL, _ROOM_C, [defrost, failed], times, throws),
        layout="plain",
        high_c=-15.0,
    )


def _time_left(watch: Watch) -> Warming:
    """Return what somebody who asks at that time is told of the time left."""
    question = watch.looked_at().question
    asked = WarmingQuestion(limits=question.limits, accuracy_mc=question.accuracy_mc)
    return warming(watch.readings(), asked)


def _hold(hall: Hall) -> Instant:
    """Start the clocks of what is inside, from when it was last known in band, and hold it."""
    _at(hall, _ANSWERED_S + 2 * MINUTE_S)
    warm_unit(hall.site, _doing(hall), WARMS, None, None)
    hold_exposed(hall.site, _doing(hall), WARMS, None, None)
    return hall.clock.now()


def _move(hall: Hall) -> tuple[str, ...]:
    """Move every carton to the fridge, where each vial gets its code and stays held."""
    _at(hall, _MOVED_S)
    codes: list[str] = []
    for cartons in lots.in_freezer(hall.place):
        done = vials.take_out(
            hall.site, _doing(hall), cartons.lot, WARMS, cartons.vials, "fridge"
        )
        assert isinstance(done.event, VialMoved)  # noqa: S101  what `take_out` records
        codes += done.event.vials
    return tuple(codes)


def _doing(hall: Hall) -> Doing:
    return hall.player.doing(hall.crew.lead, WARMS, WHY)


def _never_refrozen(hall: Hall, code: str) -> RefusedError:
    """Return the refusal of somebody who wants to put a vial back, into another freezer."""
    _at(hall, _MOVED_S + 9 * MINUTE_S)
    try:
        vials.move(hall.site, _doing(hall), [code], "freezer", unit=UNITS[0].name)
    except RefusedError as error:
        return error
    raise NotAsPlannedError(f"{code} was frozen again")


def _told_to_discard(hall: Hall, held: tuple[str, ...]) -> Instant:
    """Record the answer of the health department by phone: discard; each vial by its code."""
    _at(hall, _TOLD_S)
    for code in held:
        doing = hall.player.doing(
            hall.crew.coordinator, "hold tray", "told by phone to discard"
        )
        vials.discard(hall.site, doing, code, "held")
    return hall.clock.now()
