"""
The day that was, as processes of SimPy: an independent engine, driven by events.

It knows nothing of the recursion it is compared with: people join a line, preparers draw while
there is room on the tray, the head of the line sits down when a chair and a dose are there.
"""

from itertools import pairwise

import simpy

STEP_S = 60.0


class Pool:
    """Idle servers, whose number changes by the minute; who leaves finishes what is in hand."""

    def __init__(self, env, numbers, changed):
        self.idle, self.leaving = numbers[0], 0
        env.process(self._shifts(env, numbers, changed))

    def _shifts(self, env, numbers, changed):
        for before, after in pairwise(numbers):
            yield env.timeout(STEP_S)
            for _ in range(before - after):
                if self.idle:
                    self.idle -= 1
                else:
                    self.leaving += 1
            self.idle += max(after - before, 0)
            changed()

    def done(self):
        """Take a server back, or let it go."""
        if self.leaving:
            self.leaving -= 1
        else:
            self.idle += 1


class Hall:
    """Chairs, draw tables, a tray and a line."""

    def __init__(self, day, comers, turns, draws):
        self.env, self.day = simpy.Environment(), day
        self.to_draw, self.draws = sum(each.takes_dose for each, _ in comers), iter(draws)
        self.line, self.waits, self.tray, self.in_drawing = [], [], 0, 0
        self.left, self.use_by, self.opened, self.wasted = 0, 0.0, 0, 0
        self.last, self.seated, self.peak = 0.0, [], 0
        self.chairs = Pool(self.env, day.chairs, self._look)
        self.tables = Pool(self.env, day.tables, self._look)
        for (comer, ready_s), turn in zip(comers, turns, strict=True):
            self.env.process(self._come(comer, ready_s, turn))
        self._draw()
        self.env.run()
        self.wasted += self.left

    def _come(self, comer, ready_s, turn):
        yield self.env.timeout(ready_s)
        self.line.append((comer, self.env.now, turn))
        self._look()

    def _look(self):
        self._draw()
        while self.line and self.chairs.idle and (self.tray or not self.line[0][0].takes_dose):
            comer, since, turn = self.line.pop(0)
            self.chairs.idle -= 1
            self.tray -= comer.takes_dose
            self.waits.append(self.env.now - since)
            self.env.process(self._turn(turn))
            if comer.takes_dose:
                self.env.process(self._dose(comer))
            self._draw()

    def _turn(self, lasts):
        yield self.env.timeout(lasts)
        self.chairs.done()
        self._look()

    def _dose(self, comer):
        yield self.env.timeout(self.day.needle.total_seconds())
        now = self.last = self.env.now
        self.seated = [until for until in self.seated if until > now]
        self.seated.append(now + comer.stays.total_seconds())
        self.peak = max(self.peak, len(self.seated))

    def _draw(self):
        while (
            self.tables.idle
            and self.to_draw
            and self.tray + self.in_drawing < self.day.ahead
            and self._vial()
        ):
            self.tables.idle -= 1
            self.to_draw -= 1
            self.in_drawing += 1
            self.left -= 1
            self.env.process(self._drawing(next(self.draws)))

    def _drawing(self, lasts):
        yield self.env.timeout(lasts)
        self.tables.done()
        self.in_drawing -= 1
        self.tray += 1
        self._look()

    def _vial(self):
        if self.left and self.env.now < self.use_by:
            return True
        ready = self.day.vials.ready[self.opened].total_seconds()
        if ready > self.env.now:
            self.env.process(self._look_at(ready))
            return False
        self.wasted += self.left
        self.left, self.opened = self.day.vials.doses, self.opened + 1
        self.use_by = self.env.now + self.day.vials.life.total_seconds()
        return True

    def _look_at(self, at_s):
        yield self.env.timeout(at_s - self.env.now)
        self._look()
