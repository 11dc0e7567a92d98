"""Each storage unit of a site now: how it is known, its last reading, its alerts, its night."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from thawline.account.fold import ACCOUNT, parts_of
from thawline.account.postings import STOCK
from thawline.app.following import SeenReadings
from thawline.app.ports import Site
from thawline.app.rounds import round_findings
from thawline.app.watching import Watched, alerts_of, answered_calls, watched
from thawline.base.errors import RuleError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, from_ms, local_date, local_time, to_ms
from thawline.ledger.entries import View
from thawline.store.alert_fold import ToldAlert
from thawline.store.alerts import Alert, Cause
from thawline.store.fold import UNIT
from thawline.store.nights import Night, TestCall, covered_by, night_of
from thawline.store.units import Followed, StorageUnit


@dataclass(frozen=True, slots=True)
class LastReading:
    """The newest reading of a unit, and when it was."""

    at: Instant
    temp_mc: int


@dataclass(frozen=True, slots=True)
class UnitNow:
    """
    One unit at a moment.

    Args:
        unit: As the site names it.
        what: Its figures; None where the protocol has no alarm for its band.
        last: Its newest reading, None where there is none.
        alerts: Those that somebody still has to see to.
        findings: What has to be seen to.
    """

    unit: StorageUnit
    what: Watched | None
    last: LastReading | None
    alerts: tuple[ToldAlert, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class UnitList:
    """
    Every unit of a site at a moment, and whether the night is covered.

    Args:
        units: As the site's settings name them.
        night: The night that goes on or comes; None: nobody said when it is.
        covered: The test call that covers it.
        findings: What concerns the site as a whole.
    """

    units: tuple[UnitNow, ...]
    night: Night | None
    covered: TestCall | None
    findings: tuple[Finding, ...]

    @property
    def alerts(self) -> tuple[Finding, ...]:
        """Return all that has to be seen to, worst first."""
        of_units = [finding for each in self.units for finding in each.findings]
        return worst_first([*of_units, *self.findings])


def unit_list(site: Site, seen: SeenReadings, at: Instant) -> UnitList:
    """Return every unit of the site, what has to be seen to, and the night."""
    night = None if site.night is None else night_of(site.night, at, site.zone)
    with site.ledger.view() as view:
        covered = None if night is None else covered_by(night, answered_calls(view), at)
        strange = tuple(_not_named(site, view))
        rounds = round_findings(site, view, local_date(at, site.zone), at)
    units = tuple(_unit_now(site, seen, unit, at) for unit in site.units)
    whole = (*_night(site, night, covered), *strange, *rounds)
    return UnitList(units, night, covered, whole)


def _unit_now(site: Site, seen: SeenReadings, unit: StorageUnit, at: Instant) -> UnitNow:
    last = _newest(_last(seen, unit.name, at), _last_by_hand(site, unit.name, at))
    told = tuple(each for each in alerts_of(site, unit.name) if each.stands)
    try:
        what = watched(site, unit, at, sends=unit.followed is Followed.LIVE)
    except RuleError as error:
        says = f"{error.says}: nobody would be called"
        return UnitNow(unit, None, last, told, (Finding(Level.ACT, "no-alarm", says),))
    found = [*_standing(site, what, told, at), *_not_live(site, what, told, last, at)]
    return UnitNow(unit, what, last, told, tuple(found))


def _last(seen: SeenReadings, unit: str, at: Instant) -> LastReading | None:
    """Return the newest reading that is not stamped after the moment."""
    all_seen = seen.of(unit)
    come = np.flatnonzero(all_seen.at_ms <= to_ms(at))
    if not len(come):
        return None
    newest = come[np.argmax(all_seen.at_ms[come])]
    return LastReading(from_ms(int(all_seen.at_ms[newest])), int(all_seen.temp_mc[newest]))


def _last_by_hand(site: Site, unit: str, at: Instant) -> LastReading | None:
    """Return the newest reading that a person took of a display, and typed in."""
    with site.ledger.view() as view:
        state = view.one(UNIT, unit)
    come = [row for row in (state.hand if state else ()) if row.hi_ms <= to_ms(at)]
    if not come:
        return None
    row = max(come, key=lambda each: each.hi_ms)
    return LastReading(from_ms(row.hi_ms), row.temp_mc)


def _newest(*found: LastReading | None) -> LastReading | None:
    known = [each for each in found if each is not None]
    return max(known, key=lambda each: each.at, default=None)


def _standing(
    site: Site, what: Watched, told: tuple[ToldAlert, ...], at: Instant
) -> Iterator[Finding]:
    for each in told:
        found = what.finding(each.alert, site, at)
        whose = (
            f" Answered by {each.answered[-1].by}"
            if each.is_owned
            else _UNOWNED.format(unit=what.unit.name)
        )
        yield Finding(found.level, found.code, f"{found.says}.{whose}", found.item)


_UNOWNED = ' Nobody has taken it on: thawline cold answer {unit} --by NAME --why "on my way"'


def _not_live(
    site: Site,
    what: Watched,
    told: tuple[ToldAlert, ...],
    last: LastReading | None,
    at: Instant,
) -> Iterator[Finding]:
    """Yield that a unit which is said to be followed live is not."""
    silent_ms = what.figures.silent_ms
    known = any(each.cause == Cause.SILENT and each.cleared_ms is None for each in told)
    if silent_ms is None or known:
        return
    if last is None:
        says = (
            f"{what.called} is followed live, and no reading has ever come. "
            f"{_FOLLOW.format(unit=what.unit.name)}"
        )
        yield Finding(Level.ACT, "not-followed", says, what.figures.silent_item)
    elif to_ms(at) - to_ms(last.at) > silent_ms:
        alert = Alert(Cause.SILENT, to_ms(last.at), to_ms(last.at) + silent_ms, last.temp_mc)
        found = what.finding(alert, site, at)
        says = f"{found.says}. {_FOLLOW.format(unit=what.unit.name)}"
        yield Finding(found.level, "not-followed", says, found.item)


_FOLLOW = "Is it still followed? thawline cold follow FOLDER --unit {unit} --by NAME"


def _not_named(site: Site, view: View) -> Iterator[Finding]:
    """Yield units that hold doses by the book and that the site's settings do not name."""
    named = {unit.name for unit in site.units}
    places = {
        place.partition(":")[2]
        for (place, _), balance in ((parts_of(key), b) for key, b in view.all(ACCOUNT))
        if place.startswith(f"{STOCK}:") and balance.doses > 0
    }
    for unit in sorted(places - named):
        says = (
            f"{unit} holds doses, and how its temperature is known is not said: "
            f"thawline site unit {unit} --band BAND --followed live|by-hand|at-download"
        )
        yield Finding(Level.ACT, "unit-not-named", says)


def _night(site: Site, night: Night | None, covered: TestCall | None) -> Iterator[Finding]:
    if night is None:
        says = (
            "tonight is NOT COVERED: nobody said when a night begins and ends. "
            "thawline site night 18:00 06:00"
        )
        yield Finding(Level.ACT, "night-not-covered", says)
    elif covered is None:
        starts, ends = (_clock(site, at) for at in (night.starts, night.ends))
        says = (
            f"the night from {starts} to {ends} is NOT COVERED: nobody has answered a test "
            "call for it. Let the site's dialler ring, or call somebody of the chain, then: "
            "thawline cold night --answered-by NAME --by NAME"
        )
        yield Finding(Level.ACT, "night-not-covered", says)
    if not site.calls:
        says = "nobody is named to be called about an alert: thawline site chain"
        yield Finding(Level.ACT, "no-call-chain", says)


def _clock(site: Site, at: Instant) -> str:
    return local_time(at, site.zone).strftime("%H:%M")
