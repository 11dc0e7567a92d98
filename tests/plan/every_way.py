"""Every way through a small day at the draw table, written plainly from the page alone."""

from typing import NamedTuple

from thawline.plan.opening import OpeningDay, Prices


class Table(NamedTuple):
    """What the table is like before a slot."""

    left: int = 0
    life: int = 0
    waiting: int = 0
    held: int = 0
    names: int = 0


class EveryWay:
    """The least cost of a day, by looking at every choice after every arrival."""

    def __init__(self, day: OpeningDay, prices: Prices) -> None:
        self.day, self.prices = day, prices
        self._known = {}

    def least(self):
        """Return the least cost from an empty table on."""
        return self._before(0, Table(names=self.day.standby))

    def _before(self, slot, table):
        if slot == len(self.day.arrivals):
            return self._close(table)
        if (slot, table) not in self._known:
            self._known[slot, table] = sum(
                chance * self._after(slot, table, come)
                for come, chance in enumerate(self.day.arrivals[slot])
            )
        return self._known[slot, table]

    def _close(self, table):
        spoilt = sum(p * doses for p, doses, _ in self._offered(table.left, table.names))
        back = self.prices.person_asked_back * table.waiting
        return self.prices.dose_wasted * spoilt + back

    def _offered(self, left, names):
        """Return what calling name after name leads to: chance, doses and names left."""
        if left == 0 or names == 0:
            return [(1.0, left, names)]
        takes = self.day.takes
        came = [(takes * p, d, s) for p, d, s in self._offered(left - 1, names - 1)]
        stayed = [((1 - takes) * p, d, s) for p, d, s in self._offered(left, names - 1)]
        return came + stayed

    def _passed(self, slot, left, life, names):
        """Return the cost once the slot has passed over an open vial."""
        if left and life <= 1 and slot + 1 < len(self.day.arrivals):
            return sum(
                p * (self.prices.dose_wasted * d + self._before(slot + 1, Table(names=s)))
                for p, d, s in self._offered(left, names)
            )
        return self._before(slot + 1, Table(left, max(life - 1, 0) if left else 0, names=names))

    def _after(self, slot, table, come):
        ask = table.waiting + come
        if ask <= table.left:
            return self._passed(slot, table.left - ask, table.life, table.names)
        whole, rest = divmod(ask - table.left, self.day.doses_per_vial)
        if rest == 0:
            return self._before(slot + 1, Table(names=table.names))
        held = table.held if table.waiting and not whole else 0
        return min(self._choices(slot, rest, held, table.names))

    def _choices(self, slot, rest, held, names):
        fresh = self.day.doses_per_vial - rest
        yield self._passed(slot, fresh, self.day.life_slots, names)
        back = self.prices.person_asked_back * rest
        yield back + self._before(slot + 1, Table(names=names))
        if held < self.day.hold_most and slot + 1 < len(self.day.arrivals):
            waiting = Table(waiting=rest, held=held + 1, names=names)
            yield self.prices.person_held * rest + self._before(slot + 1, waiting)
