"""Holding and releasing vials and whole lots, and who had a dose of a lot."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.ports import Name, Site
from thawline.app.standings import in_force, stood
from thawline.base.errors import NotFoundError, RecordError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import LotHeld, LotReleased, VialHeld, VialReleased
from thawline.person.fold import PERSON
from thawline.vial.facts import SyringeState
from thawline.vial.folds import CARTON, LOT
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Out:
    """A syringe drawn from a held vial that is neither given nor wasted, and where it was."""

    syringe: str
    station: str


def hold(site: Site, doing: Doing, vials: Sequence[str]) -> tuple[Outcome, list[Out]]:
    """Hold vials at once; returns the drawn syringes that the hold must reach."""
    if not doing.why:
        raise RecordError("a hold needs a reason", advice="add --why, as in --why shaken")
    codes = tuple(dict.fromkeys(vials))

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        for code in codes:
            stood(view, rules, code, doing.at)
        return Decision(VialHeld(vials=codes, why=doing.why), _hold_findings(codes), rules.ref)

    command: dict[str, Plain] = {"command": "vial hold", "vials": list(codes)}
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    with site.ledger.view() as view:
        return outcome, _out_of(view, lambda syringe: syringe.vial in codes)


@dataclass(frozen=True, slots=True)
class Asked:
    """Who was asked before a release, what they said, and their case number."""

    called: str = ""
    answer: str = ""
    case: str = ""


def release(site: Site, doing: Doing, vials: Sequence[str], asked: Asked) -> Outcome:
    """End the hold on vials: a reason, who was called, and two people, each by own entry."""
    if not doing.why:
        raise RecordError("a release needs a reason", advice="add --why")
    second = needs_second(doing, "a release")
    codes = tuple(dict.fromkeys(vials))

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        held = [stood(view, rules, code, doing.at) for code in codes]
        for each in held:
            _releasable(each.code, each.reckoning.findings)
        event = VialReleased(
            vials=codes,
            why=doing.why,
            second=second.name,
            called=asked.called,
            answer=asked.answer,
            case=asked.case,
        )
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {"command": "vial release", "vials": list(codes)}
    return act(site, doing, command, decide)


def _releasable(code: str, findings: Sequence[Finding]) -> None:
    """Raise unless something holds the vial that a release may end."""
    found = {finding.code for finding in findings}
    if "refrozen" in found:
        says = f"{code} was frozen again; no release ends that"
        raise RefusedError([Finding(Level.STOP, "refrozen", says)])
    if not found & {"held", "arrived-without-history", "table-out-of-range"}:
        raise RecordError(f"{code} is not held", advice=f"thawline vial show {code}")


def hold_lot(site: Site, doing: Doing, lot: str, notice: str) -> tuple[Outcome, list[Out]]:
    """Hold a lot in one act: cartons, vials and every drawn syringe of it."""
    if not doing.why:
        raise RecordError("a hold needs a reason", advice="add --why, as in --why withdrawn")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        event = LotHeld(lot=lot, why=doing.why, notice=notice)
        return Decision(event, _hold_findings([f"lot {lot}"]), rules.ref)

    command: dict[str, Plain] = {"command": "lot hold", "lot": lot, "notice": notice}
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    with site.ledger.view() as view:
        return outcome, _out_of(view, lambda syringe: syringe.lot == lot)


def release_lot(site: Site, doing: Doing, lot: str, notice: str) -> Outcome:
    """End the hold on a lot: a reason and two people, each by own entry."""
    if not doing.why:
        raise RecordError("a release needs a reason", advice="add --why")
    second = needs_second(doing, "a release")

    def decide(view: View) -> Decision:
        state = view.one(LOT, lot)
        if state is None or not state.rows:
            raise RecordError(f"lot {lot} is not held", advice="thawline stock count")
        event = LotReleased(lot=lot, why=doing.why, second=second.name, notice=notice)
        return Decision(event, (), in_force(site, view, doing.at).ref)

    command: dict[str, Plain] = {"command": "lot release", "lot": lot, "notice": notice}
    return act(site, doing, command, decide)


@dataclass(frozen=True, slots=True)
class Had:
    """A person who had a dose of the lot; `name` None where it was erased or never known."""

    person: str
    given_at: Instant
    dose_number: int
    vial: str | None
    name: Name | None


def people_of_lot(site: Site, lot: str) -> list[Had]:
    """
    Return who had a dose of the lot here, in the order it was given.

    Raises:
        NotFoundError: The lot was never here.
    """
    with site.ledger.view() as view:
        had = [
            Had(code, from_ms(dose.lo_ms), dose.dose_number, dose.vial, None)
            for code, person in view.all(PERSON)
            for dose in person.doses
            if dose.lot == lot
        ]
        here = view.one(LOT, lot) or any(c.lot == lot for _, c in view.all(CARTON))
    if not had and not here:
        raise NotFoundError(f"no lot {lot} here", advice="enter the lot as printed")
    named = [
        Had(one.person, one.given_at, one.dose_number, one.vial, site.people.get(one.person))
        for one in had
    ]
    return sorted(named, key=lambda one: (one.given_at, one.person))


def _hold_findings(what: Sequence[str]) -> tuple[Finding, ...]:
    says = f"{', '.join(what)} held, do not use, do not discard; keep cold and apart; call"
    return (Finding(Level.STOP, "held", says),)


def _out_of(view: View, of: Callable[[SyringeState], bool]) -> list[Out]:
    return [
        Out(code, syringe.station)
        for code, syringe in view.all(SYRINGE)
        if syringe.became == "drawn" and of(syringe)
    ]
