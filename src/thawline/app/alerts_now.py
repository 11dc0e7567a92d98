"""
What somebody at the site must answer now: vials, syringes, people, the kit.

One line a cause. The cold store's own alerts stand with its units, as they need its readings.
"""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from thawline.app.doses import unrecorded_in
from thawline.app.observing import kit_now
from thawline.app.ports import Site
from thawline.app.standings import Stood
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, last_minute
from thawline.ledger.entries import View
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE

SOON = timedelta(minutes=45)
"""From when an open vial's end is worth a look; a choice of ours, not a rule of the field."""
CHECKED_LONG_AGO = timedelta(minutes=15)
"""After which a check without a dose is asked about; a choice of ours."""


def alerts_now(
    site: Site, view: View, stands: Sequence[Stood], at: Instant
) -> tuple[Finding, ...]:
    """Return what somebody must answer, worst first; the vials are those of the moment."""
    opened = list(_opened(stands))
    found = [
        *kit_now(site, view, at),
        *_held(view, stands),
        *_past(site, opened, at),
        *_soon(site, opened, at),
        *_unrecorded(view, at),
    ]
    return worst_first(found)


def _held(view: View, stands: Sequence[Stood]) -> Iterator[Finding]:
    """Yield a stop for each held vial that still matters: doses in it, or syringes out."""
    wanted = State.HELD
    held = [each for each in stands if each.reckoning.state is wanted]
    stations = _stations_of_drawn(view) if held else {}
    for each in held:
        out = stations.get(each.code, [])
        if each.vial.left <= 0 and not out:
            continue
        where = f" Drawn syringes: {len(out)}, at {', '.join(sorted(set(out)))}." if out else ""
        says = (
            f"do not use {each.code}. It is held: do not discard it, keep it cold and apart, "
            f"call the vaccine coordinator.{where}"
        )
        yield Finding(Level.STOP, "vial-held", says)


def _stations_of_drawn(view: View) -> dict[str | None, list[str]]:
    """Return where the drawn syringes of each vial lie."""
    found: dict[str | None, list[str]] = {}
    for _, syringe in view.all(SYRINGE):
        if syringe.became == "drawn":
            found.setdefault(syringe.vial, []).append(syringe.station or "no station")
    return found


def _past(site: Site, opened: Sequence[Stood], at: Instant) -> Iterator[Finding]:
    for each in opened:
        use_by = each.reckoning.use_by
        if use_by is not None and use_by <= at:
            says = (
                f"do not draw from {each.code}. Its use-by {_clock(site, use_by)} has passed "
                f"with {_doses(each)} in it. Set it aside and record why."
            )
            yield Finding(Level.STOP, "use-by", says, each.reckoning.set_by_item)


def _soon(site: Site, opened: Sequence[Stood], at: Instant) -> Iterator[Finding]:
    for each in opened:
        use_by = each.reckoning.use_by
        if use_by is not None and at < use_by <= at + SOON:
            says = (
                f"{_doses(each)} in {each.code} may not be used by {_clock(site, use_by)}. "
                "Draw from it first, or call from the standby list."
            )
            yield Finding(Level.ACT, "use-by-soon", says, each.reckoning.set_by_item)


def _unrecorded(view: View, at: Instant) -> Iterator[Finding]:
    long_ago = at - CHECKED_LONG_AGO
    people = {each.person for each in unrecorded_in(view) if each.at <= long_ago}
    if people:
        says = (
            f"no dose is recorded for {', '.join(sorted(people))} after the check. "
            "Ask at the chair, and record the dose or that none was given."
        )
        yield Finding(Level.CHECK, "dose-not-recorded", says)


def _opened(stands: Sequence[Stood]) -> Iterator[Stood]:
    wanted = State.OPEN
    for each in stands:
        if each.reckoning.state is wanted and each.vial.left > 0:
            yield each


def _doses(each: Stood) -> str:
    return "1 dose" if each.vial.left == 1 else f"{each.vial.left} doses"


def _clock(site: Site, at: Instant) -> str:
    return last_minute(at, site.zone)[1].isoformat(timespec="minutes")
