"""
Tuesday 3 February 2026 at Harrowmint Hall, as a script: everybody's acts in order of time.

What the crew does follows from who comes, what the tables have and the planted incidents; the
script says nothing about codes, clocks or rules. Those are the ledger's and the protocol's.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import repeat

from thawline.demo import lots
from thawline.demo.arrivals import DOORS_OPEN_S, HOUR_S, LAST_SLOT_S, MINUTE_S, Visit, visits
from thawline.demo.crew import Crew
from thawline.demo.district import Place, dice
from thawline.demo.encounters import Chairs
from thawline.demo.hall import SAME_CHAIR_S, seats
from thawline.demo.incidents import (
    CHAIR_7_OPENS_S,
    HELD_S,
    LEFT_EARLY,
    LEFT_OVER_LUNCH,
    LOOK_S,
    OPENED_AHEAD_S,
    OUT,
    SECOND_VIAL_S,
    WANTED,
)
from thawline.demo.needed import Needed
from thawline.demo.people import of_one_name, people_booked
from thawline.demo.script import (
    AskQuestions,
    BookWalkUp,
    DiscardVial,
    GiveDose,
    HoldVial,
    LeaveEarly,
    LeaveWithout,
    LookAround,
    MeetPerson,
    Step,
    Syringe,
    WasteSyringe,
    in_order,
)
from thawline.demo.tables import DrawTable, Fridge

EVENING_BEFORE_S = -7 * HOUR_S
SHARED_FROM_S = 17 * HOUR_S
_FIRST_TABLE_S = DOORS_OPEN_S - 30 * MINUTE_S
_FIRST_VIAL_S = DOORS_OPEN_S - 5 * MINUTE_S
_TOP_UP_S = 12 * HOUR_S + 30 * MINUTE_S
_ROUND_S = 30 * MINUTE_S
_ON_TABLE = 3  # unopened vials that a table keeps until the last hours
_LAST_HOURS_S = 16 * HOUR_S
_SPARE = 2  # vials thawed beyond the need at noon: they keep, over-thawing is cheap
_TOLD_AFTER_S = 10 * MINUTE_S  # what to do with held vials is told after the last person
_STAYED_S = (4 * MINUTE_S, 9 * MINUTE_S)  # of the 15 minutes that everybody stays at least
_TABLE_LOTS = {
    1: ("ZZ-1041", lots.SHORT_FILLED, lots.EXPIRES_FIRST),
    2: (lots.EXPIRES_FIRST, "ZZ-1041", lots.SHORT_FILLED),
    3: ("ZZ-1014", lots.SHORT_FILLED, lots.EXPIRES_FIRST),
}
_THAW_ORDER = (lots.EXPIRES_FIRST, "ZZ-1014", lots.SHORT_FILLED, "ZZ-1041")

Round = tuple[int, Callable[[int], None]]


@dataclass(frozen=True, slots=True)
class Told:
    """What the crew knows before the day: where, when, the seed, and the protocol's figures."""

    place: Place
    day: date
    seed: int
    vials: int  # to have in the fridge, by the thaw plan
    doses_a_vial: int
    stands_s: int


def tuesday(told: Told, crew: Crew) -> tuple[Step, ...]:
    """Return the whole script, from the evening before to the last dose."""
    hall = _Hall(told, crew, visits(told.place, told.day, told.seed))
    hall.play()
    return in_order(hall.script)


class _Hall:
    """The hall on the day, as the script is written."""

    def __init__(self, told: Told, crew: Crew, people: Sequence[Visit]) -> None:
        self.script: list[Step] = []
        self._told, self._crew, self._people = told, crew, people
        self._fridge = Fridge(
            crew.coordinator, told.doses_a_vial, told.stands_s, self._short, self.script
        )
        self._tables = {
            number: DrawTable(number, crew.at_table(number), of, self._fridge, self.script)
            for number, of in _TABLE_LOTS.items()
        }
        self._in_freezer = {each.lot: each.vials for each in lots.in_freezer(told.place)}
        throws = dice(told.seed, told.place.name, told.day, "chairs")
        self._chairs = Chairs(crew, self._tables, throws, self.script)
        to_chair = [visit for visit in people if visit.outcome != "refer"]
        lengths_s = (throws.randint(*SAME_CHAIR_S) for _ in repeat(None))
        self._seats = seats(to_chair, lengths_s, WANTED, CHAIR_7_OPENS_S)
        self._needed = Needed(told.place, told.day, told.seed, self._seats)
        self._alike = of_one_name(people_booked(told.place, told.day, told.seed))
        self._shaken: list[Syringe] = []

    def play(self) -> None:
        """Write the evening before, then people at chairs with what the clock brings."""
        self._take_out(self._told.vials, EVENING_BEFORE_S)
        for visit in self._people:
            self._at_the_desk(visit)
        rounds = self._rounds()
        for seat in self._seats:
            while rounds and rounds[0][0] <= seat.at_s:
                at_s, happens = rounds.pop(0)
                happens(at_s)
            self._chairs.sit(seat)
        self._leave_early()
        self._finish(max(step.at_s for step in self.script) + _TOLD_AFTER_S)

    def _leave_early(self) -> None:
        """Let a few in a thousand leave the observation area long before their time."""
        given = [step for step in self.script if isinstance(step, GiveDose)]
        throws = dice(self._told.seed, self._told.place.name, self._told.day, "left early")
        for step in throws.sample(given, max(1, round(LEFT_EARLY * len(given)))):
            at_s = step.at_s + throws.randint(*_STAYED_S)
            by = self._crew.registrars[-1]
            self.script.append(
                LeaveEarly(at_s=at_s, by=by, station="observation", person=step.person)
            )

    def _rounds(self) -> list[Round]:
        rounds = range(_FIRST_TABLE_S, LAST_SLOT_S, _ROUND_S)
        planned: list[Round] = [
            *((at_s, self._restock) for at_s in rounds),
            (_FIRST_VIAL_S, self._first_draws),
            (OPENED_AHEAD_S, self._before_lunch),
            (_TOP_UP_S, self._top_up),
            (SECOND_VIAL_S, self._second_vial),
            (HELD_S, self._hold),
            (LOOK_S, self._look),
            (SHARED_FROM_S, self._share),
        ]
        return sorted(planned, key=lambda each: each[0])

    def _short(self, lot: str, number: int) -> int | None:
        return lots.doses_in(lot, number, self._told.place, self._told.day, self._told.seed)

    def _take_out(self, count: int, at_s: int) -> None:
        """Take vials out of the freezer, those that expire first before the others."""
        for lot in _THAW_ORDER:
            taken = min(count, self._in_freezer[lot])
            self._fridge.take_out(lot, taken, at_s)
            self._in_freezer[lot] -= taken
            count -= taken

    def _at_the_desk(self, visit: Visit) -> None:
        by = self._crew.registrars[0]
        if visit.booked_s is None:
            self.script.append(
                BookWalkUp(at_s=visit.came_s, by=by, station="front desk", person=visit.person)
            )
        screener = self._crew.asking(len(self.script))
        self.script.append(
            AskQuestions(
                at_s=visit.ready_s,
                by=screener,
                station="screening",
                person=visit.person.code,
                outcome=visit.outcome,
            )
        )
        if visit.person in self._alike:
            self.script.append(
                MeetPerson(
                    at_s=visit.came_s + 1, by=by, station="front desk", person=visit.person
                )
            )
        if visit.outcome == "refer":
            self.script.append(
                LeaveWithout(
                    at_s=visit.ready_s,
                    by=self._crew.screeners[0],
                    station="screening",
                    person=visit.person.code,
                    why="screening: refer",
                )
            )

    def _restock(self, at_s: int) -> None:
        """Carry vials to the tables: a stock until the last hours, then what is needed."""
        if at_s < _LAST_HOURS_S:
            for table in self._tables.values():
                table.bring(_ON_TABLE - len(table.standing), at_s)
            return
        short = -(-self._missing(at_s) // self._told.doses_a_vial)
        for _ in range(short):
            least = min(self._restocked(at_s), key=DrawTable.in_hand)
            least.bring(1, at_s)

    def _restocked(self, at_s: int) -> list[DrawTable]:
        """Return the tables that still get vials: in the last hour the shared one alone."""
        shared = at_s >= SHARED_FROM_S - _ROUND_S
        return [self._tables[1]] if shared else list(self._tables.values())

    def _missing(self, at_s: int) -> int:
        """Return the doses that will be needed beyond those on the tables."""
        in_hand = sum(table.in_hand() for table in self._tables.values())
        return self._needed.after(at_s) - in_hand

    def _first_draws(self, at_s: int) -> None:
        for table in self._tables.values():
            table.draw(at_s)

    def _before_lunch(self, at_s: int) -> None:
        self._tables[1].open_ahead(LEFT_OVER_LUNCH, at_s)

    def _top_up(self, at_s: int) -> None:
        """Thaw more when what is out of the freezer will not do for the afternoon."""
        chilled = self._fridge.left() * self._told.doses_a_vial
        short = -(-(self._missing(at_s) - chilled) // self._told.doses_a_vial)
        self._take_out(max(0, short + _SPARE), at_s)

    def _second_vial(self, at_s: int) -> None:
        """Open a second vial at table 2 and draw what will be out when it is held."""
        table = self._tables[2]
        vial, opened_s = table.open_one(at_s, self._crew.second_at_table_2)
        self._shaken = table.draw_from(vial, OUT, opened_s + MINUTE_S)
        self._chairs.hand_out(self._shaken)

    def _hold(self, at_s: int) -> None:
        by = self._crew.second_at_table_2
        self.script.append(
            HoldVial(
                at_s=at_s, by=by, station="table 2", vial=self._shaken[0].vial, why="shaken"
            )
        )

    def _look(self, at_s: int) -> None:
        self.script.append(LookAround(at_s=at_s, by=self._crew.lead))

    def _share(self, _at_s: int) -> None:
        """Make table 1 the one shared draw table; the others finish what they have begun."""
        self._chairs.shared = True
        for table in self._tables.values():
            table.draws_ahead = False

    def _finish(self, at_s: int) -> None:
        for table in self._tables.values():
            table.finish(at_s)
        why = "told by phone to discard"
        for syringe in self._shaken:
            self.script.append(
                WasteSyringe(
                    at_s=at_s,
                    by=self._crew.coordinator,
                    station="hold tray",
                    syringe=syringe,
                    cause="held-open",
                    why=why,
                )
            )
        self.script.append(
            DiscardVial(
                at_s=at_s,
                by=self._crew.coordinator,
                station="hold tray",
                vial=self._shaken[0].vial,
                cause="held-open",
                why=why,
            )
        )
