"""
What goes where: held vials and syringes to fetch, vials for the tables, standby people.

What is to be carried follows from the record. A hold has one carry for each station that has
not confirmed it; it stands until somebody was there. Each carry has one owner. See
docs/background/carries.md and decision 0150.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.app.acts import Doing, Outcome, act
from thawline.app.drawn import Lying
from thawline.app.ports import Site
from thawline.app.standings import Stood
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.carry_events import CarryDone, CarryTaken
from thawline.ledger.entries import Decision, Kind, View
from thawline.person.standby import STANDBY, Answered
from thawline.vial.carries import CARRY, CarryState
from thawline.vial.facts import on_table
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import State
from thawline.vial.story import What
from thawline.vial.syringes import SYRINGE

HELD_TRAY = "the HELD tray"
FRIDGE = "the refrigerator"
DOOR = "the door"
NOWHERE = "a place that nobody said"
_AT_LEAST = 1
"""Vials ready or warming at a table in use, beside the open one; a choice of ours."""


@dataclass(frozen=True, slots=True)
class Carry:
    """
    One thing to be carried.

    Args:
        key: What it is, for the ledger.
        what: In words.
        start: Where it is picked up.
        end: Where it goes.
        held: It is held: nobody uses it, nobody discards it.
        state: Whose it is.
    """

    key: str
    what: str
    start: str
    end: str
    held: bool
    state: CarryState


def carries(
    site: Site, view: View, stands: Sequence[Stood], lying: Sequence[Lying], at: Instant
) -> tuple[Carry, ...]:
    """Return everything that is to be carried now; what is held comes first."""
    wanted = (
        *_held(view, stands, lying),
        *_vials(stands),
        *_standby(site, view, at),
    )
    found = []
    for key, what, start, end, held in wanted:
        state = view.one(CARRY, key) or CarryState()
        if state.done_ms is None:
            found.append(Carry(key, what, start, end, held, state))
    return tuple(found)


def take(site: Site, doing: Doing, key: str) -> Outcome:
    """Record that somebody goes; they are its owner from now on."""
    event = CarryTaken(carry=key)
    return _act(site, doing, "carry take", event)


def hand_over(site: Site, doing: Doing, key: str) -> Outcome:
    """Record that it was handed over, or that the people at the station were told."""
    event = CarryDone(carry=key)
    return _act(site, doing, "carry done", event)


def _act(site: Site, doing: Doing, name: str, event: CarryTaken | CarryDone) -> Outcome:
    kind = event.carry.partition("|")[0]
    if kind not in _KINDS:
        raise NotFoundError(f"nothing like {event.carry!r} is carried", advice="see Carries")

    def decide(view: View) -> Decision:
        state = view.one(CARRY, event.carry)
        if state is not None and state.done_ms is not None:
            raise RecordError(
                f"that was handed over by {state.done_by}", advice="look at Carries again"
            )
        return Decision(event)

    return act(site, doing, {"command": name, "carry": event.carry}, decide, kind=Kind.FACT)


_KINDS = {"held", "vials", "standby"}
Wanted = tuple[str, str, str, str, bool]


def _held(view: View, stands: Sequence[Stood], lying: Sequence[Lying]) -> Iterator[Wanted]:
    """Yield each station that has something held: a vial, its syringes, a syringe alone."""
    for each in stands:
        if each.reckoning.state is not State.HELD:
            continue
        since = _held_since(view, each)
        for place, what in sorted(_places(each, lying).items()):
            key = f"held|{each.code}|{place}|{since}"
            yield key, ", ".join(what), place, HELD_TRAY, True
    of_vials = {each.code for each in stands if each.reckoning.state is State.HELD}
    for one in lying:
        if one.held and one.vial not in of_vials:
            place = one.station or NOWHERE
            key = f"held|{one.syringe}|{place}|{_syringe_held_since(view, one)}"
            yield key, f"syringe {one.syringe}", place, HELD_TRAY, True


def _syringe_held_since(view: View, one: Lying) -> int:
    """Return the entry of the newest hold of a syringe, its vial or its lot."""
    syringe, lot = view.one(SYRINGE, one.syringe), view.one(LOT, one.lot)
    vial = view.one(VIAL, one.vial) if one.vial else None
    rows = [row for each in (syringe, vial, lot) if each is not None for row in each.rows]
    return max((row.seq for row in rows if row.what is What.HOLD), default=0)


def _places(each: Stood, lying: Sequence[Lying]) -> dict[str, list[str]]:
    """Return what of a held vial is at which station: itself, and drawn syringes."""
    places: dict[str, list[str]] = {}
    if each.vial.left > 0:
        places[each.vial.station or FRIDGE] = [f"vial {each.code}"]
    for one in lying:
        if one.vial == each.code:
            places.setdefault(one.station or NOWHERE, []).append(f"syringe {one.syringe}")
    return places


def _held_since(view: View, each: Stood) -> int:
    """Return the entry of the newest hold of a vial or its lot: a new hold is carried anew."""
    lot = view.one(LOT, each.vial.lot)
    rows = [*each.vial.rows, *(lot.rows if lot else ())]
    return max((row.seq for row in rows if row.what is What.HOLD), default=0)


def _vials(stands: Sequence[Stood]) -> Iterator[Wanted]:
    """Yield a vial for each table in use that has none ready and none warming."""
    chilled = [
        each
        for each in stands
        if each.reckoning.state is State.CHILLED and each.reckoning.usable
    ]
    tables: dict[str, list[Stood]] = {}
    for each in stands:
        if each.vial.station and on_table(each.vial):
            tables.setdefault(each.vial.station, []).append(each)
    for table, there in sorted(tables.items()):
        waiting = [e for e in there if e.reckoning.state in {State.READY, State.WARMING}]
        if len(waiting) >= _AT_LEAST or not chilled or _is_over(there):
            continue
        lot = max(there, key=_last_seq).vial.lot
        same = [each for each in chilled if each.vial.lot == lot] or chilled
        first = min(same, key=lambda each: (str(each.reckoning.use_by), each.code))
        what = f"vial {first.code}, lot {first.vial.lot}"
        key = f"vials|{table}|{max(_last_seq(each) for each in there)}"
        yield key, what, FRIDGE, table, False


def _is_over(there: Sequence[Stood]) -> bool:
    """Say whether a table is done with: nothing open there is left to draw from."""
    return not any(e.reckoning.state is State.OPEN and e.vial.left > 0 for e in there)


def _last_seq(each: Stood) -> int:
    return max((row.seq for row in each.vial.rows), default=0)


def _standby(site: Site, view: View, at: Instant) -> Iterator[Wanted]:
    """Yield everybody on the standby list who was called today and comes."""
    today = local_date(at, site.zone)
    for person, state in view.all(STANDBY):
        calls = [c for c in state.calls if local_date(from_ms(c.at_ms), site.zone) == today]
        if calls and calls[-1].answer == Answered.COMES:
            key = f"standby|{person}|{calls[-1].at_ms}"
            yield key, f"{person}, who comes from the standby list", DOOR, "the chair", False
