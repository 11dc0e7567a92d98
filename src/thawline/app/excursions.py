"""
Acts on an excursion: hold everything that was inside, start the clocks of a warm freezer, call.

Nothing here clears anything. What was inside is held by one act, and only `vial release`, by
two people and with an answer, ends a hold.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from uuid import uuid5

from thawline.app.acts import Doing, Outcome, act
from thawline.app.cold import CAUTION
from thawline.app.exposed import Affected, affected
from thawline.app.holds import Out as Syringe
from thawline.app.holds import reached
from thawline.app.ports import Site
from thawline.app.unit_excursions import Unit, unit_during
from thawline.app.units import unit_of
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, Occurred, from_ms, to_ms, written
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import ExcursionCalled, UnitWarmed, VialHeld
from thawline.rules.cold import Side
from thawline.store.inside import Thing
from thawline.store.units import FROZEN
from thawline.vial.folds import CARTON, carton_key


@dataclass(frozen=True, slots=True)
class Found:
    """A unit in a time, and what each of its excursions means for what was inside."""

    unit: Unit
    excursions: tuple[Affected, ...]


def exposure_of_unit(
    site: Site, name: str, since: Instant | None, until: Instant, at: Instant
) -> Found:
    """
    Return a unit's excursions in a time, and what they mean for what was inside, as of `at`.

    Raises:
        NotFoundError: The site has no such unit.
        RecordError: The time ends before it begins.
    """
    with site.ledger.view() as view:
        return found_in(site, view, name, since, until, at)


def found_in(
    site: Site, view: View, name: str, since: Instant | None, until: Instant, at: Instant
) -> Found:
    """Return the same from a view that is open already."""
    unit = unit_during(site, view, name, since, until)
    return Found(unit, tuple(affected(site, view, unit, out, at) for out in unit.outs))


def hold_exposed(
    site: Site, doing: Doing, name: str, since: Instant | None, until: Instant | None
) -> tuple[Outcome, list[Syringe]]:
    """
    Hold everything that may have been inside during the excursions of a time, by one act.

    Without an end the time goes on until the act. Returns the drawn syringes too that the hold
    must reach.

    Raises:
        UnsaidError: No reason is given.
        RecordError: There was no excursion then.
    """
    if not doing.why.strip():
        raise UnsaidError("a hold needs a reason", advice='add --why, as in --why "door open"')

    def decide(view: View) -> Decision:
        found = found_in(site, view, name, since, until or doing.at, doing.at)
        if not found.excursions:
            raise RecordError(
                f"no excursion of {name} is on record for that time",
                advice="for another reason: thawline vial hold",
            )
        event = _held(found, doing.why)
        return Decision(event, tuple(_hold_findings(found, event)), found.unit.rules.ref)

    command = _command("cold exposure", name, since, until)
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    held = outcome.event
    with site.ledger.view() as view:
        codes = (*held.vials, *held.syringes) if isinstance(held, VialHeld) else ()
        return outcome, reached(view, codes)


def warm_unit(
    site: Site, doing: Doing, name: str, since: Instant | None, until: Instant | None
) -> list[Outcome]:
    """
    Start the clocks of everything in a freezer above its band, by an act for each excursion.

    They run from the last time before it that the freezer was known to be in its band. What is
    on record already is not recorded again.
    """
    with site.ledger.view() as view:
        found = found_in(site, view, name, since, until or doing.at, doing.at)
        known = {row.lo_ms for row in found.unit.state.warmed}
        warm = [(each, _left_band(view, found.unit, each)) for each in _above(found)]
    return [
        _warm(site, doing, found.unit, event, when)
        for each, when in warm
        if to_ms(when.lo) not in known
        for event in _warmed(name, each)
    ]


def _warmed(name: str, each: Affected) -> Iterator[UnitWarmed]:
    """Yield what warmed in the unit, and in freezers that nobody named; they may be it."""
    cartons = [one.inside for one in each.things if one.inside.thing is Thing.CARTON]
    for unit in dict.fromkeys([name, *(carton.unit for carton in cartons)]):
        vials = _codes([each], Thing.VIAL) if unit == name else ()
        lots = tuple(carton.lot for carton in cartons if carton.unit == unit)
        yield UnitWarmed(unit=unit, vials=vials, lots=lots)


def _warm(site: Site, doing: Doing, unit: Unit, event: UnitWarmed, when: Occurred) -> Outcome:
    name = unit.unit.name
    says = (
        f"{name} was above its band: the clocks of what was inside run from "
        f"{written(when.lo, site.zone)}, when it was last known to be in"
    )
    decision = Decision(
        event, (Finding(Level.ACT, "unit-warmed", says, unit.band.item),), unit.rules.ref
    )
    began = to_ms(when.lo)
    told = f"warmed {began}" if event.unit == name else f"warmed {began} {event.unit}"
    own = replace(doing, id=uuid5(doing.id, told), occurred=when, happened=True)
    command: dict[str, Plain] = {"command": "cold exposure", "unit": name, "warmed_ms": began}
    return act(site, own, command, lambda _view: decision, kind=Kind.FACT)


def _above(found: Found) -> list[Affected]:
    """Return when a freezer was above its band; nothing of any other unit."""
    frozen = found.unit.unit.band == FROZEN
    return [each for each in found.excursions if frozen and each.out.side is Side.ABOVE]


def _left_band(view: View, unit: Unit, each: Affected) -> Occurred:
    """Return between when a freezer went above; where nobody knows, since its first carton."""
    known_in = each.out.known_in_ms
    if known_in is None:
        cartons = [carton for _, carton in view.all(CARTON) if carton.unit == unit.unit.name]
        fills = [fill.lo_ms for carton in cartons for fill in carton.fills]
        known_in = min([each.out.first_out_ms, *fills])
    return Occurred(from_ms(known_in), from_ms(each.out.first_out_ms))


def call(site: Site, doing: Doing, name: str, called: str, answer: str, case: str) -> Outcome:
    """
    Record that somebody was called about a unit's excursion, and what they said.

    Raises:
        UnsaidError: Nobody is named.
    """
    unit_of(site, name)
    if not called.strip():
        raise UnsaidError("nobody is named who was called", advice="add --called NAME")

    def decide(view: View) -> Decision:  # noqa: ARG001  nothing on record speaks against a call
        event = ExcursionCalled(
            unit=name, called=called.strip(), answer=answer.strip(), case=case.strip()
        )
        return Decision(event, tuple(_still_asked(event)))

    command: dict[str, Plain] = {
        "command": "cold call",
        "unit": name,
        "called": called,
        "answer": answer,
        "case": case,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _still_asked(event: ExcursionCalled) -> Iterable[Finding]:
    if not event.answer:
        says = f"{event.called} has not answered: everything stays held; call again"
        yield Finding(Level.ACT, "no-answer", says)
    if not event.case:
        says = "no case number is on record: ask for one"
        yield Finding(Level.CHECK, "no-case", says)


def _held(found: Found, why: str) -> VialHeld:
    every = found.excursions
    frozen = [each for each in every if _froze(found.unit, each)]
    name = found.unit.unit.name
    ends = [each.out.in_again_ms for each in every]
    return VialHeld(
        vials=_codes(every, Thing.VIAL),
        syringes=_drawn(every),
        cartons=_cartons(every),
        why=why,
        unit=name,
        from_ms=min(each.span.from_ms for each in every),
        until_ms=None if None in ends else max(end for end in ends if end is not None),
        coldest_mc=min((each.out.extreme_mc for each in frozen), default=None),
        refrozen=_codes(frozen, Thing.VIAL),
    )


def _froze(unit: Unit, each: Affected) -> bool:
    """Say whether thawed vials were at or below 0 °C; in a freezer none of them is thawed."""
    below = each.out.side is Side.BELOW and each.out.extreme_mc <= 0
    return below and unit.unit.band != FROZEN


def _codes(excursions: Iterable[Affected], kind: Thing) -> tuple[str, ...]:
    things = (thing for each in excursions for thing in each.things)
    return tuple(
        dict.fromkeys(thing.inside.code for thing in things if thing.inside.thing is kind)
    )


def _cartons(excursions: Iterable[Affected]) -> tuple[str, ...]:
    """Return the keys of the cartons, each by the freezer it is on record in."""
    every = (thing.inside for each in excursions for thing in each.things)
    keys = (carton_key(one.unit, one.lot) for one in every if one.thing is Thing.CARTON)
    return tuple(dict.fromkeys(keys))


def _drawn(excursions: Sequence[Affected]) -> tuple[str, ...]:
    here = {
        thing.inside.code
        for each in excursions
        for thing in each.things
        if thing.inside.thing is Thing.SYRINGE and not thing.ended
    }
    return tuple(code for code in _codes(excursions, Thing.SYRINGE) if code in here)


def _hold_findings(found: Found, event: VialHeld) -> Iterable[Finding]:
    item = found.unit.band.item
    cartons = {
        thing.inside.lot: thing.inside.vials
        for each in found.excursions
        for thing in each.things
        if thing.inside.thing is Thing.CARTON
    }
    says = (
        f"{len(event.vials)} vials with codes, {sum(cartons.values())} sealed in "
        f"{len(cartons)} lots and {len(event.syringes)} syringes of {event.unit} {CAUTION}"
        if event.vials or cartons or event.syringes
        else f"nothing was in {event.unit} then by the record: look into it, and call"
    )
    yield Finding(Level.STOP, "held", says, item)
    things = [thing for each in found.excursions for thing in each.things]
    for gone in dict.fromkeys(each.ended for each in things if each.ended.startswith("sent")):
        says = f"vials that were inside were {gone}: call there, they are held too"
        yield Finding(Level.ACT, "held-elsewhere", says, item)
    if given := max((each.given for each in found.excursions), default=0):
        doses = "1 dose" if given == 1 else f"{given} doses"
        says = f"{doses} from these vials given since: tell the clinical lead"
        yield Finding(Level.ACT, "given-since", says, item)
    if event.refrozen:
        says = f"{len(event.refrozen)} vials may have been at 0 °C or below: frozen again"
        yield Finding(Level.STOP, "refrozen", says, item)


def _command(
    command: str, name: str, since: Instant | None, until: Instant | None
) -> dict[str, Plain]:
    return {
        "command": command,
        "unit": name,
        "since_ms": None if since is None else to_ms(since),
        "until_ms": None if until is None else to_ms(until),
    }
