"""What the ledger and the rules in force say about a vial at a moment."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from msgspec.structs import replace as changed

from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError, RuleError
from thawline.base.instants import Instant, Occurred, from_ms
from thawline.ledger.entries import View
from thawline.ledger.site import KEY, SITE, Adopted
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.vial.facts import VialState, as_of, story_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import Reckoning
from thawline.vial.standing import standing
from thawline.vial.story import Story, What


@dataclass(frozen=True, slots=True)
class InForce:
    """
    The site's protocol at a moment: the version in force, and all versions adopted.

    `versions` start for vials when they were adopted, where that was after the file's date:
    a flag that was written before cannot have been written under them.
    """

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
    adopted = all_adopted(site, view)
    ref = _in_force_by_file(adopted, Occurred(at, at))[0].ref
    here = _newest_of_each(adopted, lambda each: each.counts_from_ms)
    versions = tuple(_dated(site.rules.protocol(each.ref), each) for each in here)
    return InForce(ref, site.rules.protocol(ref), versions)


def in_force_between(site: Site, adopted: Iterable[Adopted], when: Occurred) -> list[Protocol]:
    """Return the adopted versions in force at some time from `lo` to `hi`, oldest first."""
    found = _in_force_by_file(adopted, when)
    return [site.rules.protocol(each.ref) for each in found]


def all_adopted(site: Site, view: View) -> Sequence[Adopted]:
    """
    Return every version the site has adopted, as they were adopted.

    Raises:
        RuleError: The site has adopted no protocol.
    """
    state = view.one(SITE, KEY)
    if state is None or not state.adopted:
        raise RuleError(
            f"no protocol is adopted at {site.name}", advice="thawline protocol adopt FILE"
        )
    return state.adopted


def _in_force_by_file(adopted: Iterable[Adopted], when: Occurred) -> list[Adopted]:
    by_file = _newest_of_each(adopted, lambda each: each.effective_from_ms)
    begun = [each for each in by_file if from_ms(each.effective_from_ms) <= when.lo]
    later = [each for each in by_file if when.lo < from_ms(each.effective_from_ms) <= when.hi]
    return [*(begun[-1:] or by_file[:1]), *later]


def _dated(protocol: Protocol, adopted: Adopted) -> Protocol:
    """Return the version as one that counts for vials from when it was adopted, or later."""
    heading = changed(protocol.protocol, effective_from=from_ms(adopted.counts_from_ms))
    return changed(protocol, protocol=heading)


def _newest_of_each(
    adopted: Iterable[Adopted], start: Callable[[Adopted], int]
) -> list[Adopted]:
    """Return the versions by when they count; of two that start together, the later adopted."""
    by_start = {start(each): each for each in adopted}
    return [by_start[each] for each in sorted(by_start)]


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


def stood_for_syringes(view: View, rules: InForce, code: str, at: Instant) -> Stood:
    """
    Return a vial as the syringes drawn from it see it: its own end does not end them.

    A hold, a recall or a use-by reaches a syringe also when its vial was discarded before.

    Raises:
        NotFoundError: No vial has that code here.
    """
    now = stood(view, rules, code, at)
    story = _story(view, now.vial)
    going_on = tuple(fact for fact in story.facts if fact.what is not What.DISCARD)
    reckoning = standing(replace(story, facts=going_on), rules.versions, at)
    return replace(now, reckoning=reckoning)


def all_stood(view: View, rules: InForce, at: Instant) -> Iterator[Stood]:
    """Yield every vial that has a code, with what the rules make of it."""
    for code, vial in view.all(VIAL):
        yield Stood(code, vial, _reckoned(view, rules, vial, at))


def one_lot(stands: Iterable[Stood]) -> str:
    """
    Return the one lot that the vials of an act are of.

    Raises:
        RecordError: They are of several.
    """
    lots = sorted({each.vial.lot for each in stands})
    if len(lots) > 1:
        raise RecordError(
            f"vials of more than one lot: {', '.join(lots)}", advice="name one lot at a time"
        )
    return lots[0]


def seen_at(stands: Iterable[Stood], at: Instant) -> Iterator[Stood]:
    """Yield the vials as they were at a moment, without those that nobody had seen yet."""
    for each in stands:
        vial = as_of(each.vial, at)
        if vial is not None:
            yield replace(each, vial=vial)


def _reckoned(view: View, rules: InForce, vial: VialState, at: Instant) -> Reckoning:
    return standing(_story(view, vial), rules.versions, at)


def _story(view: View, vial: VialState) -> Story:
    return story_of(vial, view.one(LOT, vial.lot))


def not_here(kind: str, code: str, known: list[str]) -> NotFoundError:
    """Return the error for a code that nobody here knows, with the nearest one that is."""
    near = get_close_matches(code, known, 1, 0.6)
    return NotFoundError(
        f"no {kind} {code} here",
        advice=f"did you mean {near[0]}?" if near else f"thawline {kind} list",
    )
