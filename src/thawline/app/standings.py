"""What the ledger and the rules in force say about a vial at a moment."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from thawline.app.in_force import InForce, in_force
from thawline.app.not_here import not_here
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, exactly, to_ms
from thawline.ledger.entries import View
from thawline.vial.facts import CartonState, Row, VialState, as_of, story_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import Reckoning, State
from thawline.vial.standing import standing
from thawline.vial.story import Fact, Story, What

_OPEN, _DISCARDED = State.OPEN, State.DISCARDED


@dataclass(frozen=True, slots=True)
class Stood:
    """A vial, what it is, and what the rules make of it."""

    code: str
    vial: VialState
    reckoning: Reckoning


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
    story = story_here(view, now.vial)
    if all(fact.what is not What.DISCARD for fact in story.facts):
        return now
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
    return standing(story_here(view, vial), rules.versions, at)


def story_here(view: View, vial: VialState) -> Story:
    """Return a vial's handling as the ledger has it, with its lot."""
    return story_of(vial, view.one(LOT, vial.lot))


def if_opened(view: View, rules: InForce, each: Stood, at: Instant) -> Reckoning:
    """Return what the rules would make of a vial that is opened at the moment."""
    return if_done(view, rules, each, What.OPEN, at)


def if_done(view: View, rules: InForce, each: Stood, what: What, at: Instant) -> Reckoning:
    """Return what the rules would make of a vial if that were done with it at the moment."""
    story = story_here(view, each.vial)
    then = Fact(what, exactly(at))
    return standing(replace(story, facts=(*story.facts, then)), rules.versions, at)


def if_taken_out(
    site: Site, view: View, carton: CartonState, what: What, at: Instant
) -> Reckoning:
    """Return what the rules would make of a vial taken out of a sealed carton now."""
    rules = in_force(site, view, at)
    soft = carton.soft_since_ms
    warmed = () if soft is None else (Row(0, What.WARMED, soft, soft),)
    moved = Row(0, what, to_ms(at), to_ms(at))
    vial = VialState(carton.lot, carton.expiry, site.zone.key, 0, (*warmed, moved))
    return _reckoned(view, rules, vial, at)


def story_told(view: View, each: Stood) -> Story:
    """Return the vial's facts with those of its lot, in the order written down."""
    return story_here(view, each.vial)


def is_here(each: Stood) -> bool:
    """Say whether a vial is here and may still matter: empty ones are done with."""
    state = each.reckoning.state
    if state is _DISCARDED or each.vial.sent_to is not None:
        return False
    return state is not _OPEN or each.vial.left > 0


def next_turn(stands: Iterable[Stood], now: Instant) -> Instant | None:
    """Return when the next of these vials becomes ready or comes to its use-by; None: none."""
    turns = (at for each in stands for at in (each.reckoning.ready_at, each.reckoning.use_by))
    return min((at for at in turns if at is not None and at > now), default=None)
