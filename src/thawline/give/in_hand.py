"""What may be wrong with the dose in hand: used before, held, past its use-by, another lot."""

from collections.abc import Collection, Iterator

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, local_time
from thawline.give.breach import Breach
from thawline.give.facts import Became, ChairFacts, DoseFacts
from thawline.give.look_alike import apart, looks_like
from thawline.vial.leaving import HELD

_KEEP = "Put it in the hold tray, cold and apart, do not discard; tell the vaccine coordinator."
_BECAME = {
    Became.GIVEN: ("syringe-used", "is recorded as given"),
    Became.WASTED: ("syringe-wasted", "is recorded as wasted"),
    Became.MISSING: ("syringe-missing", "was recorded as not found"),
}


def dose_breaches(dose: DoseFacts, chair: ChairFacts) -> Iterator[Breach]:
    """Yield what is wrong with the dose itself."""
    if not dose.known:
        yield Breach(
            Level.STOP,
            "dose-not-known",
            f"No syringe or vial {dose.code!r} is on record.",
            "Scan the label again; a syringe without a label is set aside.",
        )
        return
    yield from _became(dose)
    yield from _holds(dose)
    yield from _use_by(dose, chair)
    yield from _lot(dose, chair)


def vial_findings(dose: DoseFacts, said: Collection[str]) -> Iterator[Finding]:
    """Yield what the rules say of its vial, less the codes said of the dose itself."""
    for finding in dose.handling:
        if finding.code not in said:
            vial = dose.vial or dose.code
            named = finding.says.startswith(vial)
            says = f"Vial {finding.says}" if named else f"Vial {vial}: {finding.says}"
            yield Finding(finding.level, finding.code, says, finding.item)


def time_findings(dose: DoseFacts, chair: ChairFacts) -> Iterator[Finding]:
    """Yield a finding for a dose that is dated before its syringe was drawn."""
    if dose.drawn is not None and chair.now < dose.drawn:
        says = (
            f"Syringe {dose.code} was drawn {clock_time(dose.drawn, chair)}, which is after "
            f"{clock_time(chair.now, chair)}: one of the times is wrong. Correct it."
        )
        yield Finding(Level.ACT, "before-drawn", says)


def clock_time(at: Instant, chair: ChairFacts) -> str:
    """Return the wall-clock time at the site; with its date when that is not today's."""
    wall = local_time(at, chair.zone).isoformat(timespec="minutes")
    day = local_date(at, chair.zone)
    return wall if day == local_date(chair.now, chair.zone) else f"{day.isoformat()} {wall}"


def _became(dose: DoseFacts) -> Iterator[Breach]:
    if dose.became in _BECAME:
        code, what = _BECAME[dose.became]
        fact = f"Syringe {dose.code} {what}."
        yield Breach(Level.STOP, code, fact, "Set it aside, look at its record, scan another.")
    if dose.discarded:
        fact = f"Vial {dose.code} is recorded as discarded."
        yield Breach(Level.STOP, "vial-discarded", fact, "Set it aside and scan another.")


def _holds(dose: DoseFacts) -> Iterator[Breach]:
    if dose.held is not None:
        fact = f"{_named(dose)} is {HELD}: {dose.held or 'no reason given'}."
        yield Breach(Level.STOP, "held", fact, _KEEP)
    for finding in dose.handling:
        if finding.code == "held":
            fact = f"{_named(dose)}, vial {dose.vial or dose.code}: {finding.says}."
            yield Breach(Level.STOP, "held", fact, _KEEP, finding.item)
    if dose.lot_held is not None:
        fact = f"Lot {dose.lot} of {dose.code} is {HELD}: {dose.lot_held or 'no reason given'}."
        yield Breach(Level.STOP, "lot-held", fact, _KEEP)


def _use_by(dose: DoseFacts, chair: ChairFacts) -> Iterator[Breach]:
    if dose.use_by is None:
        fact = f"Nobody knows until when {dose.code} may be used."
        yield Breach(Level.STOP, "use-by-not-known", fact, _KEEP)
    elif chair.now >= dose.use_by:
        yield Breach(
            Level.STOP,
            "past-use-by",
            f"{_named(dose)} is past its use-by time. {_times(dose, dose.use_by, chair)}",
            f"Set it aside. Record: thawline {_waste_command(dose)}",
            dose.use_by_item,
        )


def _named(dose: DoseFacts) -> str:
    return f"Vial {dose.code}" if dose.code == dose.vial else f"Syringe {dose.code}"


def _waste_command(dose: DoseFacts) -> str:
    if dose.code == dose.vial:
        return f"vial discard {dose.code} --cause use-by"
    return f"dose waste --syringe {dose.code} --cause use-by"


def _times(dose: DoseFacts, use_by: Instant, chair: ChairFacts) -> str:
    opened = "" if dose.opened is None else f"Opened {clock_time(dose.opened, chair)}. "
    return f"{opened}Use by {clock_time(use_by, chair)}, now {clock_time(chair.now, chair)}."


def _lot(dose: DoseFacts, chair: ChairFacts) -> Iterator[Breach]:
    if dose.lot is None or not chair.lots or dose.lot in chair.lots:
        return
    alike = next((lot for lot in chair.lots if looks_like(dose.lot, lot)), None)
    if alike is None:
        fact = f"Lot {dose.lot} was scanned; at this table it is {', '.join(chair.lots)}."
        yield Breach(Level.CHECK, "lot-of-another-table", fact, "Read the lot on the vial.")
        return
    scanned, meant = apart(dose.lot, alike)
    yield Breach(
        Level.STOP,
        "look-alike-lot",
        f"Lot {scanned} was scanned; at this table it is lot {meant}.",
        "Set it aside, compare the characters in brackets, scan the right one.",
    )
