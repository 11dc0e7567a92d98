"""
The fridge and the draw tables of a day: which vial is opened, drawn from and emptied when.

Everything that happens is written into the script. One preparer has one open vial; a table
works through one lot before it begins another, and never has the look-alikes together.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from thawline.demo.script import (
    BringToTable,
    DiscardVial,
    DrawDoses,
    OpenVial,
    Step,
    Syringe,
    TakeOut,
    WasteFromVial,
    WasteSyringe,
)

_TO_OPEN_S, _TO_DRAW_S, _AHEAD_S = 10, 20, 15
_DRAWN_AT_ONCE = 3
_LEAST_ON_TRAY = 2
EMPTY = "empty"


@dataclass(slots=True)
class Fridge:
    """Chilled vials by lot, in the order in which they left the freezer."""

    coordinator: str
    doses_a_vial: int
    stands_s: int  # how long a chilled vial stands on the table before it is opened
    short: Callable[[str, int], int | None]  # what the n-th vial of a lot gives, if less
    script: list[Step]
    vials: dict[str, deque[int]] = field(default_factory=dict)
    lots: list[str] = field(default_factory=list)  # of every vial that left the freezer
    doses: list[int] = field(default_factory=list)

    def take_out(self, lot: str, count: int, at_s: int) -> None:
        """Move vials of a lot from the freezer to the fridge."""
        if not count:
            return
        self.script.append(TakeOut(at_s=at_s, by=self.coordinator, lot=lot, vials=count))
        before = self.lots.count(lot)
        for n in range(count):
            self.vials.setdefault(lot, deque()).append(len(self.lots))
            self.lots.append(lot)
            self.doses.append(self.short(lot, before + n) or self.doses_a_vial)

    def left(self) -> int:
        """Return the vials in the fridge."""
        return sum(map(len, self.vials.values()))

    def next_of(self, lots: tuple[str, ...]) -> int | None:
        """Return a vial of the first of these lots that there is, None if there is none."""
        for lot in lots:
            if self.vials.get(lot):
                return self.vials[lot].popleft()
        return None


@dataclass(slots=True)
class Vial:
    """An open vial: what can still be drawn from it, what the book has, draws so far."""

    number: int
    left: int
    book: int
    drawn: int = 0


@dataclass(slots=True)
class DrawTable:
    """One preparer's table: vials ready or warming, one open vial, a tray of syringes."""

    number: int
    preparer: str
    lots: tuple[str, ...]  # in the order in which the table works through them
    fridge: Fridge
    script: list[Step]
    standing: deque[tuple[int, int]] = field(default_factory=deque)  # vial, ready from
    open: Vial | None = None
    tray: deque[tuple[Syringe, int]] = field(default_factory=deque)  # syringe, drawn at
    draws_ahead: bool = True
    busy_until_s: int = 0  # one preparer: one thing after the other

    @property
    def station(self) -> str:
        """Return the table's name."""
        return f"table {self.number}"

    def lots_here(self) -> tuple[str, ...]:
        """Return the lots that are on the table now."""
        vials = [syringe.vial for syringe, _ in self.tray]
        vials += [self.open.number] if self.open else []
        return tuple(dict.fromkeys(self.fridge.lots[vial] for vial in vials))

    def in_hand(self) -> int:
        """Return the doses that can be given from what is on the table."""
        unopened = sum(self.fridge.doses[vial] for vial, _ in self.standing)
        return unopened + len(self.tray) + (self.open.left if self.open else 0)

    def has_started(self) -> bool:
        """Say whether something here is open or drawn."""
        return bool(self.tray) or (self.open is not None and self.open.left > 0)

    def bring(self, count: int, at_s: int) -> None:
        """Carry vials from the fridge to the table, one lot at a time."""
        carried: dict[str, list[int]] = {}
        for _ in range(count):
            vial = self.fridge.next_of(self.lots)
            if vial is not None:
                carried.setdefault(self.fridge.lots[vial], []).append(vial)
                self.standing.append((vial, at_s + self.fridge.stands_s))
        for vials in carried.values():
            by = self.fridge.coordinator
            self.script.append(
                BringToTable(at_s=at_s, by=by, station=self.station, vials=tuple(vials))
            )

    def take(self, at_s: int) -> tuple[Syringe, int]:
        """Return the next syringe and from when on it is there."""
        if not self.tray:
            self.draw(at_s)
        syringe, drawn_s = self.tray.popleft()
        if self.draws_ahead and len(self.tray) < _LEAST_ON_TRAY:
            self.draw(at_s + _AHEAD_S)
        return syringe, max(at_s, drawn_s)

    def take_newest(self, at_s: int) -> tuple[Syringe, int]:
        """Return a syringe of a vial that still has some left, and from when on it is there."""
        while self.open is None or not self.open.left or not self._is_drawn(self.open.number):
            self.draw(at_s)
        syringe, drawn_s = self.tray.pop()
        return syringe, max(at_s, drawn_s)

    def open_ahead(self, least: int, at_s: int) -> None:
        """Draw until the open vial has at least so many left: a vial opened too early."""
        while self.open is None or self.open.left < least:
            self.draw(at_s)

    def draw(self, at_s: int) -> None:
        """Draw a few doses from the open vial; open the next one when it is empty."""
        start_s = max(at_s, self.busy_until_s)
        if self.open is None or not self.open.left:
            self.finish_vial(start_s)
            self.open, start_s = self.open_one(start_s, self.preparer)
        count = min(_DRAWN_AT_ONCE if self.draws_ahead else 1, self.open.left)
        drawn = self.draw_from(self.open, count, start_s + _TO_DRAW_S)
        self.busy_until_s = start_s + _TO_DRAW_S
        self.tray.extend((syringe, self.busy_until_s) for syringe in drawn)

    def draw_from(self, vial: Vial, count: int, at_s: int) -> list[Syringe]:
        """Draw doses from a vial and return the syringes."""
        drawn = [Syringe(vial.number, vial.drawn + n) for n in range(1, count + 1)]
        vial.left -= count
        vial.book -= count
        vial.drawn += count
        self.script.append(
            DrawDoses(
                at_s=at_s, by=self.preparer, station=self.station, vial=vial.number, doses=count
            )
        )
        return drawn

    def open_one(self, at_s: int, by: str) -> tuple[Vial, int]:
        """Open the next vial that is ready and return it, with the time when it is open."""
        if not self.standing:
            self.bring(1, at_s)
        number, ready_s = self.standing.popleft()
        opened_s = max(at_s, ready_s) + _TO_OPEN_S
        self.script.append(OpenVial(at_s=opened_s, by=by, station=self.station, vial=number))
        return Vial(number, self.fridge.doses[number], self.fridge.doses_a_vial), opened_s

    def finish_vial(self, at_s: int) -> None:
        """Put the open vial away: what the book still has in it came short; then it ends."""
        if self.open is None:
            return
        vial, short = self.open.number, self.open.book
        if short > self.open.left == 0:
            self._waste(vial, short, at_s)
        self._discard(vial, "leftover", at_s, "end of the day" if self.open.left else EMPTY)
        self.open = None

    def leak(self, at_s: int) -> None:
        """Waste a dose of the open vial while drawing."""
        if self.open is None or not self.open.left:
            return
        self.open.left -= 1
        self.open.book -= 1
        self._waste(self.open.number, 1, at_s, "spilled", "leaked while drawing")

    def finish(self, at_s: int) -> None:
        """End the day at this table: nothing open, drawn or warm stays behind."""
        by, station = self.preparer, self.station
        for syringe, _ in self.tray:
            self.script.append(
                WasteSyringe(
                    at_s=at_s, by=by, station=station, syringe=syringe, cause="leftover", why=""
                )
            )
        self.tray.clear()
        self.finish_vial(at_s)
        for vial, _ in self.standing:
            self._discard(vial, "past-thaw", at_s, "on the table over the day")
        self.standing.clear()

    def _is_drawn(self, vial: int) -> bool:
        return any(syringe.vial == vial for syringe, _ in self.tray)

    def _waste(
        self, vial: int, doses: int, at_s: int, cause: str = "short-volume", why: str = ""
    ) -> None:
        self.script.append(
            WasteFromVial(
                at_s=at_s,
                by=self.preparer,
                station=self.station,
                vial=vial,
                doses=doses,
                cause=cause,
                why=why,
            )
        )

    def _discard(self, vial: int, cause: str, at_s: int, why: str) -> None:
        by, station = self.preparer, self.station
        self.script.append(
            DiscardVial(at_s=at_s, by=by, station=station, vial=vial, cause=cause, why=why)
        )
