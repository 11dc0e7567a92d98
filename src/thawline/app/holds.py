"""Holding and releasing vials and whole lots, and who had a dose of a lot."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from thawline.account.balance import lots
from thawline.account.fold import ACCOUNT
from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.in_force import in_force
from thawline.app.not_here import not_here
from thawline.app.ports import Name, Site
from thawline.app.standings import stood_for_syringes
from thawline.base.errors import NotFoundError, RecordError, RefusedError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import LotHeld, LotReleased, VialHeld, VialReleased
from thawline.person.fold import PERSON
from thawline.vial.facts import SyringeState, fact_of
from thawline.vial.folds import CARTON, LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Out:
    """A syringe drawn from a held vial that is neither given nor wasted, and where it was."""

    syringe: str
    station: str


def hold(site: Site, doing: Doing, codes: Sequence[str]) -> tuple[Outcome, list[Out]]:
    """Hold vials, or single syringes; returns the drawn syringes that the hold must reach."""
    if not doing.why.strip():
        raise UnsaidError("a hold needs a reason", advice="add --why, as in --why shaken")
    named = _named(codes)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        vials, syringes = _told_apart(view, named)
        event = VialHeld(vials=vials, why=doing.why, syringes=syringes)
        return Decision(event, _hold_findings(named), rules.ref)

    command: dict[str, Plain] = {"command": "vial hold", "vials": list(named)}
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    with site.ledger.view() as view:
        return outcome, reached(view, named)


def reached(view: View, held: Sequence[str]) -> list[Out]:
    """Return the drawn syringes that a hold of vials or syringes must reach."""
    return _out_of(view, lambda code, drawn: {code, drawn.vial} & set(held))


def _named(codes: Sequence[str]) -> tuple[str, ...]:
    if not codes:
        raise RecordError("no vial is named", advice="name one or more vial codes")
    return tuple(dict.fromkeys(codes))


def _told_apart(view: View, codes: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return which of the codes are vials and which are syringes."""
    vials = tuple(code for code in codes if view.one(VIAL, code) is not None)
    syringes = tuple(code for code in codes if code not in vials)
    for code in syringes:
        if view.one(SYRINGE, code) is None:
            raise not_here("vial", code, [key for key, _ in view.all(VIAL)])
    return vials, syringes


@dataclass(frozen=True, slots=True)
class Asked:
    """Who was asked before a release, what they said, and their case number."""

    called: str = ""
    answer: str = ""
    case: str = ""


def release(
    site: Site,
    doing: Doing,
    codes: Sequence[str],
    asked: Asked,
    cartons: Sequence[str] = (),
) -> Outcome:
    """
    End the hold on vials, syringes or sealed cartons (as freezer-1|ZZ-1041).

    It takes a reason, who was called, and two people's entries.
    """
    if not doing.why.strip():
        raise UnsaidError("a release needs a reason", advice="add --why")
    second = needs_second(doing, "a release")
    named = () if cartons and not codes else _named(codes)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        vials, syringes = _told_apart(view, named)
        for key in cartons:
            _carton_releasable(view, key)
        for code in vials:
            now = stood_for_syringes(view, rules, code, doing.at)
            _releasable(code, now.vial.lot, now.reckoning.findings)
        for code in syringes:
            state = view.one(SYRINGE, code)
            bands = rules.protocol.bands
            held = holds([fact_of(row) for row in state.rows], bands) if state else []
            _releasable(code, state.lot if state else "", held)
        event = VialReleased(
            vials=vials,
            syringes=syringes,
            cartons=tuple(cartons),
            why=doing.why,
            second=second.name,
            called=asked.called,
            answer=asked.answer,
            case=asked.case,
        )
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {
        "command": "vial release",
        "vials": list(named),
        "cartons": list(cartons),
        "called": asked.called,
        "answer": asked.answer,
        "case": asked.case,
    }
    return act(site, doing, command, decide)


def _carton_releasable(view: View, key: str) -> None:
    """Raise unless there is such a carton, and something of its own holds it."""
    unit, _, lot = key.partition("|")
    carton = view.one(CARTON, key)
    if carton is None:
        raise not_here("carton", f"{unit}:{lot}", [each for each, _ in view.all(CARTON)])
    if not holds([fact_of(row) for row in carton.rows], {}):
        raise RecordError(
            f"lot {lot} in {unit} is not held", advice=f"thawline cold record {unit}"
        )


def _releasable(code: str, lot: str, findings: Sequence[Finding]) -> None:
    """Raise unless something holds the vial or syringe that a release may end."""
    found = {finding.code for finding in findings}
    if "refrozen" in found:
        says = f"{code} was frozen again; no release ends that"
        raise RefusedError([Finding(Level.STOP, "refrozen", says)])
    if found & {"held", "arrived-without-history", "table-out-of-range"}:
        return
    if "lot-held" in found:
        raise RecordError(
            f"{code} is held with its whole lot {lot}", advice=f"thawline lot release {lot}"
        )
    raise RecordError(f"{code} is not held", advice=f"thawline vial show {code}")


def hold_lot(site: Site, doing: Doing, lot: str, notice: str) -> tuple[Outcome, list[Out]]:
    """Hold a lot in one act: cartons, vials and every drawn syringe of it."""
    if not doing.why.strip():
        raise UnsaidError("a hold needs a reason", advice="add --why, as in --why withdrawn")

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        event = LotHeld(lot=lot, why=doing.why, notice=notice)
        found = (*_hold_findings([f"lot {lot}"]), *_never_here(view, lot))
        return Decision(event, found, rules.ref)

    command: dict[str, Plain] = {"command": "lot hold", "lot": lot, "notice": notice}
    outcome = act(site, doing, command, decide, kind=Kind.FACT)
    with site.ledger.view() as view:
        return outcome, _out_of(view, lambda _, drawn: drawn.lot == lot)


def _never_here(view: View, lot: str) -> tuple[Finding, ...]:
    """Return a finding for a lot that never was here: a typing slip would hold nothing."""
    known = _lots(view)
    if lot in known:
        return ()
    near = get_close_matches(lot, known, 1)
    meant = f": was {near[0]} meant?" if near else "."
    says = f"nothing of lot {lot} ever was here{meant} Read the number as it is printed"
    return (Finding(Level.ACT, "lot-not-here", says),)


def _lots(view: View) -> tuple[str, ...]:
    return lots(dict(view.all(ACCOUNT)))


def release_lot(site: Site, doing: Doing, lot: str, notice: str) -> Outcome:
    """End the hold on a lot: a reason and two people, each by own entry."""
    if not doing.why.strip():
        raise UnsaidError("a release needs a reason", advice="add --why")
    second = needs_second(doing, "a release")

    def decide(view: View) -> Decision:
        state = view.one(LOT, lot)
        if state is None or not holds([fact_of(row) for row in state.rows], {}):
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
        here = lot in _lots(view)
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


def _out_of(view: View, of: Callable[[str, SyringeState], object]) -> list[Out]:
    return [
        Out(code, syringe.station)
        for code, syringe in view.all(SYRINGE)
        if syringe.became == "drawn" and of(code, syringe)
    ]
