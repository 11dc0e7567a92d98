"""Every way through small last hours, written plainly from the background page alone."""

from itertools import product


class EveryLastWay:
    """The least price from a state on, by looking at every choice after every arrival."""

    def __init__(self, hours, prices):
        self.hours, self.prices = hours, prices
        self._known = {}

    def least(self):
        """Return the least price of all."""
        return self._before(0, 0, 0, self.hours.keeps[0] - self.hours.waiting)

    def _before(self, slot, brought, left, balance):
        hours = self.hours
        if slot == len(hours.arrivals):
            unused = hours.doses_per_vial if left else 0
            return self._end(balance, unused)
        state = (slot, brought, left, balance)
        if state not in self._known:
            ways = [self._wait(*state), *self._calls(*state)]
            if left == 0 and brought < hours.vials and slot + hours.warm_slots < hours.slots:
                if hours.warm_slots:
                    fresh = (slot, brought + 1, hours.warm_slots, balance)
                else:
                    fresh = (slot, brought + 1, 0, balance + hours.doses_per_vial)
                ways += [self._wait(*fresh), *self._calls(*fresh)]
            self._known[state] = min(ways)
        return self._known[state]

    def _end(self, balance, unused=0):
        prices = self.prices
        if balance < 0:
            return prices.person_asked_back * -balance + prices.dose_wasted * unused
        return prices.dose_wasted * (balance + unused)

    def _wait(self, slot, brought, left, balance):
        hours, prices = self.hours, self.prices
        total = 0.0
        for come, chance in enumerate(hours.arrivals[slot]):
            after = balance - come
            gone = max(0, hours.lowest - after)
            after += gone
            ready = brought - (1 if left else 0)
            limit = hours.keeps[slot + 1] + ready * hours.doses_per_vial
            spoilt = max(0, after - limit)
            after -= spoilt
            price = prices.person_asked_back * gone + prices.dose_wasted * spoilt
            price += prices.person_held * max(0, -after)
            after += hours.doses_per_vial if left == 1 else 0
            total += chance * (price + self._before(slot + 1, brought, max(0, left - 1), after))
        return total

    def _calls(self, slot, brought, left, balance):
        """Return the price of calling one name, two names and so on, to the end of the day."""
        hours = self.hours
        near = [way for way in hours.travel if slot + way < hours.slots]
        return [
            self._called(slot, brought, left, balance, names)
            for names in range(1, len(near) + 1)
        ]

    def _called(self, slot, brought, left, balance, names):
        hours, prices = self.hours, self.prices
        ready = brought - (1 if left else 0)
        spoilt = max(0, balance - hours.keeps[-1] - ready * hours.doses_per_vial)
        doses = balance - spoilt + (hours.doses_per_vial if left else 0)
        total = 0.0
        for path in product(*(enumerate(row) for row in hours.arrivals[slot:])):
            chance, come, waited = 1.0, 0, 0
            for number, (people, p) in enumerate(path):
                chance *= p
                come += people
                waited += max(0, come - balance) if number < left else 0
            for answers in product((True, False), repeat=names):
                p = chance
                for takes in answers:
                    p *= hours.takes if takes else 1 - hours.takes
                price = self._end(doses - come - sum(answers)) + prices.person_held * waited
                total += p * (price + prices.dose_wasted * spoilt)
        return total
