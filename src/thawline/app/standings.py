"""What the ledger and the rules in force say about a vial or a syringe at a moment."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches

from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RuleError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import View
from thawline.ledger.site import KEY, SITE, Adopted
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.vial.facts import SyringeState, VialState, fact_of, story_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.reckon import Reckoning
from thawline.vial.standing import standing
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class InForce:
    """The site's protocol at a moment: the version in force, and all versions adopted."""

    ref: ProtocolRef
    protocol: Protocol
    versions: tuple[Protocol, ...]


@dataclass(frozen=True, slots=True)
class Stood:
    """A vial, what it is, and what the rules make of it."""

    code: str
    vial: VialState
    reckoning: Reckoning


def in_force(site: Site, view: View, at: Instant) -> InForce:
    """
    Return the site's protocol in force at the moment; before the first version, the oldest.

    Raises:
        RuleError: The site has adopted no protocol.
    """
    state = view.one(SITE, KEY)
    adopted = _newest_of_each(state.adopted if state else ())
    if not adopted:
        raise RuleError(
            f"no protocol is adopted at {site.name}", advice="thawline protocol adopt FILE"
        )
    begun = [each for each in adopted if from_ms(each.effective_from_ms) <= at]
    ref = (begun[-1] if begun else adopted[0]).ref
    versions = tuple(site.rules.protocol(each.ref) for each in adopted)
    return InForce(ref, site.rules.protocol(ref), versions)


def _newest_of_each(adopted: tuple[Adopted, ...]) -> list[Adopted]:
    """Return the versions by when they count; of two that start together, the later adopted."""
    by_start = {each.effective_from_ms: each for each in adopted}
    return [by_start[start] for start in sorted(by_start)]


def stood(view: View, rules: InForce, code: str, at: Instant) -> Stood:
    """
    Return a vial and what the rules make of it.

    Raises:
        NotFoundError: No vial has that code here; names the nearest that is.
    """
    vial = view.one(VIAL, code)
    if vial is None:
        raise not_here("vial", code, [key for key, _ in view.all(VIAL)])
    return Stood(code, vial, _reckoned(view, rules, vial, at))


def all_stood(view: View, rules: InForce, at: Instant) -> Iterator[Stood]:
    """Yield every vial that has a code, with what the rules make of it."""
    for code, vial in view.all(VIAL):
        yield Stood(code, vial, _reckoned(view, rules, vial, at))


def _reckoned(view: View, rules: InForce, vial: VialState, at: Instant) -> Reckoning:
    return standing(story_of(vial, view.one(LOT, vial.lot)), rules.versions, at)


def syringe_findings(
    view: View, rules: InForce, code: str, at: Instant
) -> tuple[SyringeState, Reckoning | None, tuple[Finding, ...]]:
    """
    Return a syringe, its vial's reckoning, and what speaks against giving it.

    A hold or use-by of the vial is a hold or use-by of every syringe drawn from it.

    Raises:
        NotFoundError: No syringe has that code here.
    """
    syringe = view.one(SYRINGE, code)
    if syringe is None:
        raise not_here("syringe", code, [key for key, _ in view.all(SYRINGE)])
    facts = [fact_of(row) for row in syringe.rows]
    found = holds(facts, rules.protocol.bands)
    reckoning = None
    if syringe.vial is not None and not syringe.ready_drawn:
        reckoning = stood(view, rules, syringe.vial, at).reckoning
        found += [each for each in reckoning.findings if each.level is Level.STOP]
    elif syringe.use_by_ms is not None and at >= from_ms(syringe.use_by_ms):
        found.append(Finding(Level.STOP, "past-use-by", f"syringe {code} is past its use-by"))
    named = (replace(each, says=f"syringe {code}: {each.says}") for each in found)
    return syringe, reckoning, worst_first(named)


def not_here(kind: str, code: str, known: list[str]) -> NotFoundError:
    """Return the error for a code that nobody here knows, with the nearest one that is."""
    near = get_close_matches(code, known, 1, 0.6)
    return NotFoundError(
        f"no {kind} {code} here",
        advice=f"did you mean {near[0]}?" if near else f"thawline {kind} list",
    )
