"""
Every vial as it stands, reckoned once a second however many tablets ask.

A vial that nothing touched since is not reckoned again within the same second; a discarded one
never, for nothing ends it a second time. Within a second the end of it counts, so that a vial
is past its use-by a moment early, and never late. Acts are decided at their own moment.
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
    adopted = tuple(all_adopted(site, view))
    lots = dict(view.all(LOT))
    found = []
    for code, vial in view.all(VIAL):
        key, lot = (id(site.ledger), code), lots.get(vial.lot)
        with _LOCK:
            kept = _KEPT.get(key)
        if kept is None or not _counts(kept, vial, lot, adopted, second):
            fresh = stood(view, rules, code, second)
            kept = _Reckoned(vial, lot, adopted, second, fresh)
            with _LOCK:
                _KEPT[key] = kept
        found.append(kept.stood)
    return tuple(found)


def _counts(
    kept: _Reckoned, vial: VialState, lot: LotState | None, adopted: object, second: Instant
) -> bool:
    same = kept.vial == vial and kept.lot == lot and kept.rules == adopted
    ended = kept.stood.reckoning.state is State.DISCARDED
    return same and (kept.second == second or ended)


def _end_of_second(at: Instant) -> Instant:
    start = Instant(at.replace(microsecond=0))
    return start if start == at else Instant(start + _SECOND)
