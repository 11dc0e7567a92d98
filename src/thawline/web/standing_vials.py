"""
Every vial as it stands, reckoned once a second however many tablets ask.

A vial that nothing touched since is not reckoned again within the same second. A closed one is
kept for half a minute, unless one of its clocks ends or it becomes ready meanwhile; a discarded
one for good, for nothing ends it a second time. Within a second the end of it counts, so that
a vial is past its use-by a moment early, and never late. Acts are decided at their own moment.
"""

from dataclasses import dataclass
from datetime import timedelta
from threading import Lock
from typing import Any

from thawline.app.in_force import InForce, all_adopted
from thawline.app.ports import Site
from thawline.app.standings import Stood, stood
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.vial.facts import LotState, VialState
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import State

_SECOND = timedelta(seconds=1)
_QUIET = timedelta(seconds=30)
_CLOSED = frozenset({State.FROZEN, State.THAWING, State.CHILLED, State.READY})
_LOCK = Lock()


@dataclass(frozen=True, slots=True)
class _Reckoned:
    """A vial as reckoned, and everything that went into it."""

    vial: VialState
    lot: LotState | None
    rules: Any
    second: Instant
    stood: Stood


_KEPT: dict[tuple[int, str], _Reckoned] = {}
"""By the ledger's identity and the vial's code; a server serves one site."""


def standing_vials(site: Site, view: View, rules: InForce, at: Instant) -> tuple[Stood, ...]:
    """Return every vial with a code, as it stands at the end of the moment's second."""
    second = _end_of_second(at)
    under = (rules.ref, tuple(all_adopted(site, view)))
    lots = dict(view.all(LOT))
    found = []
    for code, vial in view.all(VIAL):
        key, lot = (id(site.ledger), code), lots.get(vial.lot)
        with _LOCK:
            kept = _KEPT.get(key)
        if kept is None or not _counts(kept, vial, lot, under, second):
            fresh = stood(view, rules, code, second)
            kept = _Reckoned(vial, lot, under, second, fresh)
            with _LOCK:
                _KEPT[key] = kept
        found.append(kept.stood)
    return tuple(found)


def _counts(
    kept: _Reckoned, vial: VialState, lot: LotState | None, rules: object, second: Instant
) -> bool:
    if (kept.vial, kept.lot, kept.rules) != (vial, lot, rules):
        return False
    ended = kept.stood.reckoning.state is State.DISCARDED
    return ended or kept.second == second or _is_quiet(kept, second)


def _is_quiet(kept: _Reckoned, second: Instant) -> bool:
    """Say whether nothing can have happened to a closed vial since it was reckoned."""
    found = kept.stood.reckoning
    if found.state not in _CLOSED or not kept.second <= second <= kept.second + _QUIET:
        return False
    turns = [found.ready_at, found.use_by, *(clock.ends for clock in found.clocks)]
    return not any(turn is not None and kept.second < turn <= second for turn in turns)


def _end_of_second(at: Instant) -> Instant:
    start = Instant(at.replace(microsecond=0))
    return start if start == at else Instant(start + _SECOND)
