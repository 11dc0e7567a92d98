"""What a person reads of a unit's excursions: when, what was inside, for how long, held."""

from collections.abc import Iterator
from datetime import date

from thawline.app.cold import CAUTION
from thawline.app.cold_findings import at_least, at_most, degrees
from thawline.app.excursions import Found
from thawline.app.exposed import Affected, Becomes, Exposed
from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_date
from thawline.cli.answers import Answer
from thawline.cli.cold_exposure_data import IN_RANGE, exposure_data, verdict
from thawline.cli.text import NONE, UNKNOWN, clock_time, counted, table, wrapped
from thawline.store.inside import Thing
from thawline.store.units import FOLLOWED

CAUTIONS = (
    "Any reading outside the range is an excursion. This tool does not decide whether vaccine "
    "may be used, and clears nothing: held, do not use, do not discard, kept cold and apart, "
    "call the manufacturer and the health department or immunization program.",
    "At best and at worst are what the clocks would be; neither is milder than held. How far a "
    "logger may be off never excuses a reading. Gaps are unknown time, not good time.",
    "A thawed vial is never refrozen; soft or unsure: to the refrigerator, still held.",
)


def shown(site: Site, found: Found, now: Instant) -> Answer:
    """Return a unit's excursions as a page and as JSON."""
    today = local_date(now, site.zone)
    return Answer(
        data=exposure_data(site, found),
        text="\n".join(_page(site, found, today)),
        alerts=list(alerts_of(found)),
        not_known=("verdict",) if verdict(found) is None else (),
        protocol=found.unit.rules.ref,
        found=True if verdict(found) != IN_RANGE else None,
    )


def alerts_of(found: Found) -> Iterator[Finding]:
    """Yield a stop for each excursion with what is not held yet; what is not known is said."""
    unit, item = found.unit, found.unit.band.item
    for number, each in enumerate(found.excursions, 1):
        not_held = [one for one in each.things if one.needs_hold]
        name = unit.unit.name
        says = f"{name}, excursion {number}: {_side(each)}. What was inside is {CAUTION}"
        if not_held:
            says += f". {len(not_held)} not held yet: thawline cold exposure {name} --hold"
        yield Finding(Level.STOP, "excursion", says, item)
    if verdict(found) is None:
        says = f"{unit.unit.name}: not known for all of that time; unknown is not good"
        yield Finding(Level.ACT, "not-known", says, item)


def _side(each: Affected) -> str:
    end = "highest" if each.out.side == "above" else "lowest"
    return f"{each.out.side} its band, {end} {degrees(each.out.extreme_mc)} °C"


def _page(site: Site, found: Found, today: date) -> Iterator[str]:
    yield from head_lines(site, found, today)
    for number, each in enumerate(found.excursions, 1):
        yield ""
        yield from excursion_lines(site, number, each, today)
    if not found.excursions:
        yield "No reading outside its band is on record for that time."
    yield ""
    yield from (wrapped(line) for line in CAUTIONS)


def excursion_lines(site: Site, number: int, each: Affected, today: date) -> Iterator[str]:
    """Yield one excursion: when, for how long, and everything that was inside."""
    yield f"Excursion {number}: {_side(each)}"
    yield wrapped(f"  {_when(site, each, today)}", 2)
    yield from _things(site, each, today)


def head_lines(site: Site, found: Found, today: date) -> Iterator[str]:
    """Yield the unit, its band, the time and what is known of it."""
    unit = found.unit
    low, high = degrees(unit.limits.low_mc), degrees(unit.limits.high_mc)
    title = f" ({unit.unit.title})" if unit.unit.title else ""
    yield wrapped(
        f"{unit.unit.name}{title}: {low} to {high} °C, item {unit.band.item}; "
        f"{FOLLOWED[unit.unit.followed]}; logger accurate to ±{degrees(unit.accuracy_mc)} °C",
        2,
    )
    span = (clock_time(from_ms(each), site.zone, today) for each in _ends(found))
    readings = sum(record.exposure.instants for record in unit.records)
    yield wrapped(
        f"From {' to '.join(span)} ({site.zone.key}): {counted(readings, 'instant')} of "
        f"loggers, {len(unit.hand)} read by hand; not known {at_most(unit.unknown_ms)}. "
        f"Verdict: {(verdict(found) or 'not known').replace('-', ' ')}.",
        2,
    )


def _ends(found: Found) -> tuple[int, int]:
    return found.unit.asked.from_ms, found.unit.asked.to_ms


def _when(site: Site, each: Affected, today: date) -> str:
    out = each.out

    def shown_at(ms: int | None) -> str:
        return UNKNOWN if ms is None else clock_time(from_ms(ms), site.zone, today)

    read = f"read by {out.by}" if out.record is None else counted(out.readings, "reading out")
    read = read.replace("reading outs", "readings out")
    again = "not in again yet" if out.in_again_ms is None else f"in {shown_at(out.in_again_ms)}"
    return (
        f"known in {shown_at(out.known_in_ms)}, out {shown_at(out.first_out_ms)} to "
        f"{shown_at(out.last_out_ms)}, {again}; {read}. Out at least "
        f"{at_least(each.lasted.at_least_ms)}, at most {at_most(each.lasted.at_most_ms)}."
    )


_COLUMNS = ("what", "lot", "vials", "at least", "at most", "held", "at best", "at worst")


def _things(site: Site, each: Affected, today: date) -> Iterator[str]:
    if not each.things:
        yield "  Nothing was inside then by the record."
        return
    rows = [_row(site, thing, today) for thing in each.things]
    yield table(_COLUMNS, rows, right=(2, 3, 4))
    for says in dict.fromkeys(t.worst.says for t in each.things if t.worst and t.worst.says):
        yield wrapped(f"  At worst: {says}.", 2)
    if each.given:
        yield f"  {counted(each.given, 'dose')} from these vials given since it began."


def _row(site: Site, thing: Exposed, today: date) -> list[str]:
    inside, lasted = thing.inside, thing.lasted
    what = "sealed" if inside.thing is Thing.CARTON else inside.code
    return [
        what,
        inside.lot,
        str(inside.vials) if inside.vials else NONE,
        at_least(lasted.at_least_ms),
        at_most(lasted.at_most_ms),
        _holding(thing),
        _until(site, thing.best, today),
        _until(site, thing.worst, today),
    ]


def _holding(thing: Exposed) -> str:
    if thing.held:
        return "HELD"
    return thing.ended or ("released" if thing.released else "not yet")


def _until(site: Site, becomes: Becomes | None, today: date) -> str:
    if becomes is None:
        return NONE
    if becomes.use_by is None:
        return UNKNOWN
    return clock_time(becomes.use_by, site.zone, today)
