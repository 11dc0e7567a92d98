"""
Every vial as it stands, reckoned once a second however many tablets ask.

A vial that nothing touched since is not reckoned again within the same second. An open one is
kept for two seconds and a closed one for half a minute, unless one of its clocks ends or it
becomes ready meanwhile; a discarded one for good, for nothing ends it a second time. Within a
second the end of it counts, so that a vial is past its use-by a moment early, and never late.
Acts are decided at their own moment.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from threading import Lock
from typing import Any

from thawline.app.in_force import InForce, all_adopted
from thawline.app.ports import Site
from thawline.app.standings import Stood, stood, stood_for_syringes
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.vial.facts import LotState, VialState
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import Reckoning, State

_SECOND = timedelta(seconds=1)
_CLOSED = timedelta(seconds=30)
_OPEN = timedelta(seconds=2)  # as long as a tablet waits between two looks
_QUIET = {
    **dict.fromkeys((State.FROZEN, State.THAWING, State.CHILLED, State.READY), _CLOSED),
    State.OPEN: _OPEN,
}
"""How long a vial is kept in a state while nothing happens to it; the others for a second."""
_LOCK = Lock()


@dataclass(frozen=True, slots=True)
class _Reckoned:
    """A vial as reckoned, and everything that went into it."""

    vial: VialState
    lot: LotState | None
    rules: Any
    second: Instant
    stood: Stood


@dataclass(frozen=True, slots=True)
class _Second:
    """Every vial as it was last asked for, and the rules, lots and second that it was for."""

    about: object
    vials: Mapping[str, VialState] = field(default_factory=dict)
    stands: Mapping[str, Stood] = field(default_factory=dict)


_Ask = Callable[[View, InForce, str, Instant], Stood]
_LAST: dict[int, _Second] = {}
"""By the ledger's identity: within a second only what was touched is looked at."""
_KEPT: dict[tuple[int, str, str], _Reckoned] = {}
"""By the ledger's identity, what was asked, and the vial's code; a server serves one site."""


def standing_vials(site: Site, view: View, rules: InForce, at: Instant) -> tuple[Stood, ...]:
    """Return every vial with a code, as it stands at the end of the moment's second."""
    known, vials = _Known(site, view, rules, at), dict(view.all(VIAL))
    with _LOCK:
        last = _LAST.get(known.ledger)
    same = last if last is not None and last.about == known.about else _Second(known.about)
    stands = {
        code: same.stands[code]
        if same.vials.get(code) is vial
        else known.stood("itself", stood, code, vial)
        for code, vial in vials.items()
    }
    with _LOCK:
        _LAST[known.ledger] = _Second(known.about, vials, stands)
    return tuple(stands.values())


def for_syringes(
    site: Site, view: View, rules: InForce, at: Instant
) -> Callable[[str], Reckoning]:
    """Return what reckons a vial as the syringes drawn from it see it, kept in the same way."""
    known, vials = _Known(site, view, rules, at), dict(view.all(VIAL))

    def reckon(code: str) -> Reckoning:
        found = known.stood("its syringes", stood_for_syringes, code, vials[code])
        return found.reckoning

    return reckon


class _Known:
    """What was reckoned before, for one page; and what nobody has reckoned yet."""

    def __init__(self, site: Site, view: View, rules: InForce, at: Instant) -> None:
        self._view, self._rules = view, rules
        self.ledger = id(site.ledger)
        self._under = (rules.ref, tuple(all_adopted(site, view)))
        self._lots = dict(view.all(LOT))
        self._second = end_of_second(at)
        self.about = (self._under, self._lots, self._second)

    def stood(self, what: str, ask: _Ask, code: str, vial: VialState) -> Stood:
        """Return a vial as it stands at the end of this second."""
        key, lot = (self.ledger, what, code), self._lots.get(vial.lot)
        with _LOCK:
            kept = _KEPT.get(key)
        if kept is None or not _counts(kept, vial, lot, self._under, self._second):
            fresh = ask(self._view, self._rules, code, self._second)
            kept = _Reckoned(vial, lot, self._under, self._second, fresh)
            with _LOCK:
                _KEPT[key] = kept
        return kept.stood


def _counts(
    kept: _Reckoned, vial: VialState, lot: LotState | None, rules: object, second: Instant
) -> bool:
    if (kept.vial, kept.lot, kept.rules) != (vial, lot, rules):
        return False
    ended = kept.stood.reckoning.state is State.DISCARDED
    return ended or kept.second == second or _is_quiet(kept, second)


def _is_quiet(kept: _Reckoned, second: Instant) -> bool:
    """Say whether nothing can have happened to a vial since it was reckoned."""
    found = kept.stood.reckoning
    quiet = _QUIET.get(found.state)
    if quiet is None or not kept.second <= second <= kept.second + quiet:
        return False
    turns = [found.ready_at, found.use_by, *(clock.ends for clock in found.clocks)]
    return not any(turn is not None and kept.second < turn <= second for turn in turns)


def end_of_second(at: Instant) -> Instant:
    """Return the end of the second that a moment lies in; a whole second is its own end."""
    start = Instant(at.replace(microsecond=0))
    return start if start == at else Instant(start + _SECOND)
