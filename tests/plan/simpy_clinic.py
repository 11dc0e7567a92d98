"""
The clinic day as processes of SimPy: an independent engine, driven by events.

It knows nothing of the recursion it is compared with. Who comes when and who takes how long are
handed in, so that the same day can be played, or one with random numbers of its own.
"""

import simpy

HALF_S = 1800.0


class Room:
    """One station: a line, idle servers, shifts by the half hour, groups and vials."""

    def __init__(self, env, station, times, go_on):
        self.env, self.station, self.times, self.go_on = env, station, iter(times), go_on
        self.line, self.waits, self.leaving = [], [], 0
        self.idle = station.servers[0]
        self.doses, self.use_by, self.opened, self.wasted = 0, 0.0, 0, 0
        self.gather = station.gather.total_seconds()
        env.process(self._shifts())

    def _shifts(self):
        for before, after in zip(self.station.servers, self.station.servers[1:], strict=False):
            yield self.env.timeout(HALF_S)
            for _ in range(before - after):
                if self.idle:
                    self.idle -= 1
                else:
                    self.leaving += 1
            self.idle += max(after - before, 0)
            self._look()

    def come(self, person):
        """Join the line."""
        self.line.append((self.env.now, person))
        if self.station.together > 1:
            self.env.process(self._look_after(self.gather))
        self._look()

    def _look_after(self, delay):
        yield self.env.timeout(delay)
        self._look()

    def _look(self):
        while self.idle and self.line and self._whole() and self._vial_at_hand():
            group = self.line[: self.station.together]
            del self.line[: self.station.together]
            self.waits += [self.env.now - at for at, _ in group]
            self.idle -= 1
            self.doses -= 1
            self.env.process(self._turn(group))

    def _whole(self):
        enough = len(self.line) >= self.station.together
        return enough or self.env.now >= self.line[0][0] + self.gather

    def _vial_at_hand(self):
        vials = self.station.vials
        if vials is None or (self.doses > 0 and self.env.now < self.use_by):
            return True
        if vials.ready is not None:
            if self.opened == len(vials.ready):
                return False
            ready = vials.ready[self.opened].total_seconds()
            if ready > self.env.now:
                self.env.process(self._look_after(ready - self.env.now))
                return False
        self.wasted += max(self.doses, 0)
        self.doses, self.use_by = vials.doses, self.env.now + vials.life.total_seconds()
        self.opened += 1
        return True

    def _turn(self, group):
        yield self.env.timeout(next(self.times))
        if self.leaving:
            self.leaving -= 1
        else:
            self.idle += 1
        for _, person in group:
            self.go_on(person)
        self._look()


def one_day(stations, arrivals, times, stays):
    """Return the waits at each station, the rooms, instants of leaving by person, the peak."""
    env, rooms, left = simpy.Environment(), [], {}
    stays, there, peak = iter(stays), 0, 0

    def seat(person):
        nonlocal there, peak
        there += 1
        peak = max(peak, there)
        yield env.timeout(next(stays))
        there -= 1
        left[person] = env.now

    def passing(k):
        if k == len(stations):
            return lambda person: env.process(seat(person))
        return lambda person: rooms[k].come(person)  # noqa: PLW0108  the room is made later

    for k, station in enumerate(stations):
        rooms.append(Room(env, station, times[k], passing(k + 1)))

    def door():
        for person, at in enumerate(arrivals):
            yield env.timeout(at - env.now)
            rooms[0].come(person)

    env.process(door())
    env.run()
    return [room.waits for room in rooms], rooms, left, peak
