"""
What happens at a chair: a syringe is scanned for the person, the dose is given, and recorded.

And the ways in which it goes wrong: the wrong syringe, a vial held in between, a person who
changes their mind, a dose that nobody records.
"""

from collections.abc import Callable
from random import Random

from thawline.demo.crew import Crew
from thawline.demo.hall import TABLE_OF_CHAIR, Happens, Seat
from thawline.demo.incidents import HELD_S
from thawline.demo.script import (
    CheckDose,
    GiveDose,
    LeaveWithout,
    Step,
    Syringe,
    WasteSyringe,
)
from thawline.demo.tables import DrawTable

_TO_SCAN_S, _TO_NEEDLE_S = 45, (30, 45)
_SCAN_AGAIN_S = 30
_NEW_SYRINGE_S = 75
_NO_ARM, _LEFT = 0.01, 0.85
_ALIKE_TABLE = 3


class Chairs:
    """The chairs of a day, as the script is written."""

    def __init__(
        self, crew: Crew, tables: dict[int, DrawTable], throws: Random, script: list[Step]
    ) -> None:
        self._crew = crew
        self._tables = tables
        self._throws = throws
        self._script = script
        self._seated = 0
        self.shared = False
        self._shaken: list[Syringe] = []
        self._ways: dict[Happens, Callable[[Seat], None]] = {
            Happens.NOTHING: self._usual,
            Happens.LOOK_ALIKE: self._look_alike,
            Happens.HELD_VIAL: self._held_vial,
            Happens.NOT_RECORDED: self._not_recorded,
            Happens.CHANGES_MIND: self._changes_mind,
            Happens.LEAVES_UNSEEN: self._leaves_unseen,
            Happens.DROPPED: self._dropped,
        }

    def hand_out(self, syringes: list[Syringe]) -> None:
        """Lay ready the syringes of the vial that will be held."""
        self._shaken = list(syringes)

    def sit(self, seat: Seat) -> None:
        """Write what happens when this person sits down."""
        self._seated += 1
        self._ways[seat.happens](seat)

    def _usual(self, seat: Seat) -> None:
        syringe, there_s = self._table(seat).take(seat.at_s)
        self._scan_and_give(seat, syringe, max(seat.at_s + _TO_SCAN_S, there_s))

    def _look_alike(self, seat: Seat) -> None:
        """Scan a syringe that came from the table of the look-alike lot, then the right one."""
        other = self._tables[_ALIKE_TABLE]
        if not other.tray:
            other.draw(seat.at_s)
        syringe, there_s = other.tray[-1]
        at_s = max(seat.at_s + _TO_SCAN_S, there_s)
        self._scan(seat, syringe, at_s, lots=self._table(seat).lots_here(), refused=True)
        right, there_s = self._table(seat).take(at_s)
        self._scan_and_give(seat, right, max(at_s + _SCAN_AGAIN_S, there_s))

    def _held_vial(self, seat: Seat) -> None:
        """Scan a syringe, learn of the hold, be refused, and take another one."""
        syringe, scanned_s = self._shaken.pop(0), seat.at_s + _TO_SCAN_S
        if scanned_s < HELD_S:
            self._scan(seat, syringe, scanned_s)
        again_s = max(HELD_S + _SCAN_AGAIN_S, scanned_s)
        self._scan(seat, syringe, again_s, refused=True)
        other, there_s = self._table(seat).take(again_s)
        self._scan_and_give(seat, other, max(again_s + _NEW_SYRINGE_S, there_s))

    def _not_recorded(self, seat: Seat) -> None:
        """Scan, give, record nothing; meanwhile a dose of the same vial leaks at the table."""
        table = self._table(seat)
        syringe, there_s = table.take_newest(seat.at_s)
        at_s = max(seat.at_s + _TO_SCAN_S, there_s)
        self._scan(seat, syringe, at_s)
        table.leak(at_s + _SCAN_AGAIN_S)

    def _changes_mind(self, seat: Seat) -> None:
        at_s = self._scan_and_put_back(seat)
        self._script.append(
            LeaveWithout(
                at_s=at_s + _SCAN_AGAIN_S,
                by=self._by(seat),
                station=seat.station,
                person=seat.visit.person.code,
                why="changed their mind",
            )
        )

    def _leaves_unseen(self, seat: Seat) -> None:
        self._scan_and_put_back(seat)

    def _scan_and_put_back(self, seat: Seat) -> int:
        """Scan a syringe that then lies on the tray again, for the next person."""
        table = self._table(seat)
        syringe, there_s = table.take(seat.at_s)
        at_s = max(seat.at_s + _TO_SCAN_S, there_s)
        self._scan(seat, syringe, at_s)
        table.tray.appendleft((syringe, at_s + _SCAN_AGAIN_S))
        return at_s

    def _dropped(self, seat: Seat) -> None:
        syringe, there_s = self._table(seat).take(seat.at_s)
        at_s = max(seat.at_s + _TO_SCAN_S, there_s)
        self._scan(seat, syringe, at_s)
        self._script.append(
            WasteSyringe(
                at_s=at_s + _SCAN_AGAIN_S,
                by=self._by(seat),
                station=seat.station,
                syringe=syringe,
                cause="spilled",
                why="dropped",
            )
        )
        other, there_s = self._table(seat).take(at_s + _SCAN_AGAIN_S)
        self._scan_and_give(seat, other, max(at_s + _NEW_SYRINGE_S, there_s))

    def _scan_and_give(self, seat: Seat, syringe: Syringe, at_s: int) -> None:
        self._scan(seat, syringe, at_s)
        arm = "left" if self._throws.random() < _LEFT else "right"
        self._script.append(
            GiveDose(
                at_s=at_s + self._throws.randint(*_TO_NEEDLE_S),
                by=self._by(seat),
                station=seat.station,
                person=seat.visit.person.code,
                syringe=syringe,
                arm=None if self._throws.random() < _NO_ARM else arm,
            )
        )

    def _scan(
        self,
        seat: Seat,
        syringe: Syringe,
        at_s: int,
        lots: tuple[str, ...] = (),
        *,
        refused: bool = False,
    ) -> None:
        self._script.append(
            CheckDose(
                at_s=at_s,
                by=self._by(seat),
                station=seat.station,
                person=seat.visit.person.code,
                syringe=syringe,
                lots=lots,
                screened_by=self._crew.asking(self._seated),
                outcome=seat.visit.outcome,
                refused=refused,
            )
        )

    def _by(self, seat: Seat) -> str:
        return self._crew.at_chair(seat.chair, seat.at_s)

    def _table(self, seat: Seat) -> DrawTable:
        """Return the chair's table; in the last hour one that has begun, or has a vial left."""
        own = self._tables[TABLE_OF_CHAIR[seat.chair]]
        if own.in_hand() and not self.shared:
            return own
        from_last = sorted(self._tables.values(), key=lambda table: -table.number)
        with_some = [table for table in from_last if table.in_hand()]
        begun = [table for table in with_some if table.has_started()]
        return next(iter([*begun, *with_some, own]))
