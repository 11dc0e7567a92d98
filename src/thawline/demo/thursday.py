"""
Thursday 5 February at Oddmoor Library: the dose before a suspected anaphylaxis, at 14:06.

Tuesday's open vials are discarded in its evening. Of Thursday no more is played than the story
needs: one vial from Tuesday's refrigerator, and one person who comes without a booking.
"""

from thawline.app.acts import Doing
from thawline.app.in_force import in_force
from thawline.app.left_over import left_over
from thawline.app.ports import Site
from thawline.app.vials import discard
from thawline.base.instants import exactly, midnight_before, zone_named
from thawline.demo import lots
from thawline.demo.acts import Player
from thawline.demo.arrivals import HOUR_S, MINUTE_S, Visit
from thawline.demo.clock import MovedClock
from thawline.demo.cold_store import after
from thawline.demo.crew import crew_of
from thawline.demo.district import DAYS, TUESDAY, dice, place_named
from thawline.demo.encounters import Chairs
from thawline.demo.hall import Seat
from thawline.demo.library import NAMES
from thawline.demo.people import standby_names
from thawline.demo.script import BookWalkUp, Step, in_order
from thawline.demo.tables import DrawTable, Fridge

THURSDAY = DAYS[3]
CHAIR_S = 14 * HOUR_S + 5 * MINUTE_S
_CAME_S, _READY_S = 13 * HOUR_S + 52 * MINUTE_S, 14 * HOUR_S + 2 * MINUTE_S
_TO_TABLE_S = 13 * HOUR_S + 20 * MINUTE_S
_TO_FRIDGE_S = 8 * HOUR_S
_EVENING_S, _PACKED_S = 17 * HOUR_S + 40 * MINUTE_S, 15 * HOUR_S


def thursday(site: Site, clock: MovedClock, seed: int, zone: str) -> str:
    """Play it; return the person's code. The clock stands at the end of it then."""
    here = zone_named(zone)
    clock.move(after(midnight_before(TUESDAY, here), _EVENING_S))
    _discard_open(site, seed)
    midnight = midnight_before(THURSDAY, here)
    place, crew = place_named(site.name), crew_of(site.name, seed)
    person = standby_names(place, TUESDAY, seed, NAMES + 2)[-1]
    script: list[Step] = []
    with site.ledger.view() as view:
        rules = in_force(site, view, midnight).protocol
    stands_s = round(rules.thaw.refrigerator.then_room.longest().total_seconds())
    doses = rules.product.doses_per_vial.value
    fridge = Fridge(crew.coordinator, doses, stands_s, _full, script)
    lot = lots.in_freezer(place)[-1].lot
    fridge.take_out(lot, 1, _TO_FRIDGE_S)
    table = DrawTable(1, crew.at_table(1), (lot,), fridge, script, draws_ahead=False)
    table.bring(1, _TO_TABLE_S)
    by, station = crew.registrars[0], "front desk"
    script.append(BookWalkUp(at_s=_CAME_S, by=by, station=station, person=person))
    chairs = Chairs(crew, {1: table}, dice(seed, site.name, THURSDAY, "chairs"), script)
    chairs.sit(Seat(Visit(person, None, _CAME_S, _READY_S, "give-15"), 1, CHAIR_S))
    player = Player(site, clock, midnight)
    for step in in_order(script):
        player.play(step)
    clock.move(after(midnight, _PACKED_S))
    _discard_open(site, seed)
    return person.code


def _full(_lot: str, _number: int) -> int | None:
    return None


def _discard_open(site: Site, seed: int) -> None:
    """Discard every vial that was opened, as a site does when it packs up."""
    with site.ledger.view() as view:
        opened = left_over(site, view, site.now()).opened
    for code in sorted(opened):
        doing = Doing(
            by=crew_of(site.name, seed).coordinator,
            occurred=exactly(site.now()),
            recorded_at=site.now(),
            id=site.mint(),
            station="table 1",
        )
        discard(site, doing, code, "leftover")
