"""
What an excursion means for each thing inside: for how long, and what its clocks become.

Two cases are told beside each other. In the best one the unit was out for the least time that
the readings allow, in the worst for the most; neither of them is milder than held, and neither
clears anything. docs/background/vials-inside.md says which clock counts what.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from thawline.app.hand_reading import kept
from thawline.app.ports import Site
from thawline.app.standings import stood, stood_for_syringes
from thawline.app.unit_excursions import Lasted, Out, Unit
from thawline.base.instants import Instant, Occurred, exactly, from_ms
from thawline.ledger.entries import View
from thawline.person.fold import PERSON
from thawline.rules.cold import Side
from thawline.rules.protocol import Protocol, Starts
from thawline.store.inside import Inside, Span, Thing, inside
from thawline.store.limits import limits
from thawline.store.units import FROZEN, REFRIGERATOR, ROOM
from thawline.vial.expiry import read_expiry
from thawline.vial.facts import CartonState, Row, fact_of, story_of
from thawline.vial.folds import CARTON, LOT, VIAL, carton_key
from thawline.vial.leaving import holds
from thawline.vial.reckon import State
from thawline.vial.standing import standing
from thawline.vial.story import Fact, Story, What
from thawline.vial.syringes import SYRINGE

REFROZEN = "at or below 0 °C: counts as frozen again, never released"
NO_CLOCK = "no clock of the protocol counts this time"


@dataclass(frozen=True, slots=True)
class Becomes:
    """Until when it could be used in one case; None: not known, and `says` tells why."""

    use_by: Instant | None
    set_by: str | None = None
    says: str = ""


@dataclass(frozen=True, slots=True)
class Exposed:
    """
    A thing that may have been inside during an excursion.

    Args:
        inside: What it is, and when it was there.
        lasted: How long the unit was out while it was there.
        held: Whether it is held now.
        released: It was held since the excursion began, and two people ended that.
        ended: Given, wasted, discarded or sent; empty: it is here.
        best: Until when it could be used at best; None where no clock runs on it.
        worst: At worst.
    """

    inside: Inside
    lasted: Lasted
    held: bool
    released: bool = False
    ended: str = ""
    best: Becomes | None = None
    worst: Becomes | None = None

    @property
    def needs_hold(self) -> bool:
        """Say whether it is here and nobody has held it for the excursion."""
        return not (self.held or self.released or self.ended)


@dataclass(frozen=True, slots=True)
class Affected:
    """An excursion with everything that may have been inside, and doses given from it since."""

    out: Out
    span: Span
    lasted: Lasted
    things: tuple[Exposed, ...]
    given: int


def affected(site: Site, view: View, unit: Unit, out: Out, at: Instant) -> Affected:
    """Return what an excursion of a unit means for what was inside, as of an instant."""
    span = unit.span(out)
    there = inside(unit.unit, site.units, kept(view), span)
    case = _Case(site, view, unit, out, at)
    things = tuple(case.exposed(each) for each in there)
    return Affected(out, span, unit.lasted(out, span), things, _given(view, things, span))


def _given(view: View, things: Iterable[Exposed], span: Span) -> int:
    """Return how many doses of these vials were given since the excursion began."""
    vials = {each.inside.code for each in things if each.inside.thing is Thing.VIAL}
    doses = (dose for _, person in view.all(PERSON) for dose in person.doses)
    return sum(dose.vial in vials and dose.hi_ms >= span.from_ms for dose in doses)


@dataclass(frozen=True, slots=True)
class _Case:
    """One excursion, as the ledger and the rules stand at an instant."""

    site: Site
    view: View
    unit: Unit
    out: Out
    at: Instant

    def exposed(self, thing: Inside) -> Exposed:
        """Return a thing with what the excursion means for it."""
        most = sum(self.unit.lasted(self.out, each).at_most_ms for each in thing.may)
        least = sum(self.unit.lasted(self.out, each).at_least_ms for each in thing.surely)
        lasted = Lasted(least, most)
        if thing.thing is Thing.CARTON:
            return self._carton(thing, lasted)
        return (
            self._vial(thing, lasted)
            if thing.thing is Thing.VIAL
            else self._syringe(thing, lasted)
        )

    def _vial(self, thing: Inside, lasted: Lasted) -> Exposed:
        now = stood(self.view, self.unit.rules, thing.code, self.at)
        discarded = now.reckoning.state is State.DISCARDED
        ended = "discarded" if discarded else ""
        if now.vial.sent_to is not None:
            ended = f"sent to {now.vial.sent_to}"
        story = story_of(now.vial, self.view.one(LOT, now.vial.lot))
        best, worst = (None, None) if ended else self._cases(story, thing, lasted)
        held = self._is_held(thing.code)
        released = self._is_released(now.vial.rows)
        return Exposed(thing, lasted, held, not held and released, ended, best, worst)

    def _is_held(self, code: str) -> bool:
        """Say whether a vial is held; one that was discarded too, for its syringes' sake."""
        now = stood_for_syringes(self.view, self.unit.rules, code, self.at)
        return now.reckoning.state is State.HELD

    def _carton(self, thing: Inside, lasted: Lasted) -> Exposed:
        carton = self.view.one(CARTON, carton_key(thing.unit, thing.lot))
        assert carton is not None  # noqa: S101  it was found inside by its state
        lot = self.view.one(LOT, thing.lot)
        held = bool(holds([fact_of(row) for row in carton.rows], {}))
        held = held or bool(lot and holds([fact_of(row, of_lot=True) for row in lot.rows], {}))
        best, worst = self._cases(self._sealed(carton), thing, lasted)
        released = not held and self._is_released(carton.rows)
        return Exposed(thing, lasted, held, released, "", best, worst)

    def _sealed(self, carton: CartonState) -> Story:
        last_day = None if carton.expiry is None else read_expiry(carton.expiry)
        warmed = tuple(fact_of(row) for row in carton.rows if row.what is What.WARMED)
        return Story(carton.lot, last_day, self.site.zone, warmed)

    def _syringe(self, thing: Inside, lasted: Lasted) -> Exposed:
        syringe = self.view.one(SYRINGE, thing.code)
        assert syringe is not None  # noqa: S101  it was found inside by its state
        bands = self.unit.rules.protocol.bands
        held = bool(holds([fact_of(row) for row in syringe.rows], bands))
        if syringe.vial is not None and self.view.one(VIAL, syringe.vial) is not None:
            held = held or self._is_held(syringe.vial)
        released = not held and self._is_released(syringe.rows)
        return Exposed(thing, lasted, held, released, "" if thing.doses else syringe.became)

    def _is_released(self, rows: Iterable[Row]) -> bool:
        """Say whether a hold was written down since it was out, and then a release."""
        since = [row for row in rows if row.lo_ms >= self.out.first_out_ms]
        holds_at = [row.seq for row in since if row.what is What.HOLD]
        ends = [row.seq for row in since if row.what is What.RELEASE]
        return bool(holds_at and ends) and max(ends) > max(holds_at)

    def _cases(self, story: Story, thing: Inside, lasted: Lasted) -> tuple[Becomes, Becomes]:
        """Return until when it could be used in the best and in the worst case."""
        as_it_is = self._reckoned(story, ())
        if said := self._not_counted():
            return as_it_is, Becomes(None, None, said)
        if self.unit.unit.band == FROZEN:
            began = self.unit.span(self.out).from_ms
            worst = self._reckoned(story, [_warmed(began, self.out.first_out_ms)])
            if not lasted.at_least_ms:
                return as_it_is, worst
            first = self.out.first_out_ms
            return self._reckoned(story, [_warmed(first, first)]), worst
        end = thing.may[-1].to_ms
        over = self.out.in_again_ms is not None or end < self.unit.asked.to_ms
        worst = self._reckoned(story, _stood(end, lasted.at_most_ms, over=over))
        return self._reckoned(story, _stood(end, lasted.at_least_ms, over=True)), worst

    def _not_counted(self) -> str:
        """Return why no clock says what the excursion does; empty where one does."""
        protocol, out, band = self.unit.rules.protocol, self.out, self.unit.unit.band
        if out.side is Side.BELOW and band != FROZEN and out.extreme_mc <= 0:
            return REFROZEN
        if band == FROZEN and out.side is Side.ABOVE:
            return ""
        if band == REFRIGERATOR and out.side is Side.ABOVE and _counts(protocol, out):
            return ""
        return NO_CLOCK

    def _reckoned(self, story: Story, more: Iterable[Fact]) -> Becomes:
        supposed = replace(story, facts=(*story.facts, *more))
        found = standing(supposed, self.unit.rules.versions, self.at)
        return Becomes(found.use_by, found.set_by)


def _counts(protocol: Protocol, out: Out) -> bool:
    """Say whether the room clock counts time at that temperature: up to the room band's end."""
    clocks = [clock.starts_on for clock in protocol.clocks.values()]
    room = limits(protocol.bands[ROOM])
    return Starts.TO_TABLE in clocks and out.extreme_mc <= room.high_mc


def _warmed(lo_ms: int, hi_ms: int) -> Fact:
    return Fact(What.WARMED, Occurred(from_ms(lo_ms), from_ms(hi_ms)))


def _stood(end_ms: int, length_ms: int, *, over: bool) -> Iterator[Fact]:
    """Yield a stay of that length as the room clock counts it; one that is not over runs on."""
    if length_ms:
        yield Fact(What.TO_TABLE, exactly(from_ms(end_ms - length_ms)))
        if over:
            yield Fact(What.TO_FRIDGE, exactly(from_ms(end_ms)))
