"""
Every vial as it stands, reckoned once a second however many tablets ask.

A vial that nothing touched since is not reckoned again within the same second. An open one is
kept for about ten seconds and a closed one for half a minute, unless one of its clocks ends, it
becomes ready or a fact that was dated ahead comes meanwhile; a discarded one for good, for
nothing ends it a second time. They come due one by one, so that no look waits for all of them.
Within a second the end of it counts: a vial is past its use-by a moment early, and never late.
Acts are decided at their own moment.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from threading import Lock
from typing import Any
from zlib import crc32

from thawline.app.in_force import InForce, all_adopted
from thawline.app.ports import Site
from thawline.app.standings import Stood, stood, stood_for_syringes
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import View
from thawline.vial.facts import LotState, VialState
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import Reckoning, State
from thawline.vial.story import What
from thawline.web.turns import alone

_SECOND = timedelta(seconds=1)
_QUIET_S = {
    **dict.fromkeys((State.FROZEN, State.THAWING, State.CHILLED, State.READY), range(20, 40)),
    State.OPEN: range(6, 14),
}
"""For how many seconds a vial is kept while nothing happens to it, by its code; others: one."""
_THIS_ONE = range(1, 2)
_FOR_GOOD = Instant(datetime.max.replace(tzinfo=UTC))
_DISCARD = What.DISCARD
_FIRST = from_ms(0)
_ONE_BY_ONE = Lock()
"""Who asks while another page's vials are reckoned finds them reckoned."""


@dataclass(frozen=True, slots=True)
class _Reckoned:
    """A vial as reckoned, and everything that went into it."""

    vial: VialState
    lot: LotState | None
    rules: Any
    second: Instant
    until: Instant
    stood: Stood

    def counts(
        self, vial: VialState, lot: LotState | None, rules: object, second: Instant
    ) -> bool:
        """Say whether it holds at that second too; from `until` on it does not."""
        if not self.second <= second < self.until or self.rules != rules:
            return False
        return _same(self.vial, vial) and _same(self.lot, lot)


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
    with alone(_ONE_BY_ONE):
        return _standing_vials(_Known(site, view, rules, at), dict(view.all(VIAL)))


def _standing_vials(known: "_Known", vials: Mapping[str, VialState]) -> tuple[Stood, ...]:
    last = _LAST.get(known.ledger)
    same = last if last is not None and last.about == known.about else _Second(known.about)
    stands = {
        code: same.stands[code]
        if same.vials.get(code) is vial
        else known.stood("itself", stood, code, vial)
        for code, vial in vials.items()
    }
    _LAST[known.ledger] = _Second(known.about, vials, stands)
    return tuple(stands.values())


def for_syringes(
    site: Site, view: View, rules: InForce, at: Instant
) -> Callable[[str], Reckoning]:
    """Return what reckons a vial as the syringes drawn from it see it, kept in the same way."""
    known, vials = _Known(site, view, rules, at), dict(view.all(VIAL))

    def reckon(code: str) -> Reckoning:
        vial = vials[code]
        if all(row.what is not _DISCARD for row in vial.rows):
            return known.stood("itself", stood, code, vial).reckoning  # nothing has ended it
        return known.stood("its syringes", stood_for_syringes, code, vial).reckoning

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
        kept = _KEPT.get(key)
        if kept is None or not kept.counts(vial, lot, self._under, self._second):
            fresh = ask(self._view, self._rules, code, self._second)
            until = _until(fresh, lot, self._second)
            kept = _Reckoned(vial, lot, self._under, self._second, until, fresh)
            _KEPT[key] = kept
        return kept.stood


def _same(one: object, other: object) -> bool:
    """Say whether two states are equal: most are the very same, which is seen at once."""
    return one is other or one == other


def _until(stood: Stood, lot: LotState | None, second: Instant) -> Instant:
    """Return from when on a vial must be reckoned again, where nothing touches it before."""
    found = stood.reckoning
    if found.state is State.DISCARDED:
        return _FOR_GOOD
    quiet = _QUIET_S.get(found.state, _THIS_ONE)
    longest = Instant(
        second + timedelta(seconds=quiet[crc32(stood.code.encode()) % len(quiet)])
    )
    turns = [found.ready_at, found.use_by, *(clock.ends for clock in found.clocks)]
    rows = (*stood.vial.rows, *(lot.rows if lot else ()))
    ahead = [from_ms(ms) for row in rows for ms in (row.lo_ms, row.hi_ms)]
    return min([longest, *(at for at in (*turns, *ahead) if at is not None and at > second)])


def end_of_second(at: Instant) -> Instant:
    """Return the end of the second that a moment lies in; a whole second is its own end."""
    return end_of(_SECOND, at)


def end_of(step: timedelta, at: Instant) -> Instant:
    """Return the end of the step of the clock that a moment lies in, or the moment itself."""
    over = (at - _FIRST) % step
    return Instant(at + (step - over)) if over else at
