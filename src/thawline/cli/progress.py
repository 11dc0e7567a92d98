"""How far a long command is, on stderr: only on a terminal, and only when it takes a while."""

from dataclasses import dataclass, field
from datetime import timedelta
from typing import TextIO

from thawline.adapters.time import now as machine_now
from thawline.app.ports import Now
from thawline.base.durations import spoken
from thawline.base.instants import Instant

_QUIET_FOR = timedelta(seconds=1)
_EVERY = timedelta(milliseconds=250)
_MINUTE = timedelta(minutes=1)


@dataclass(slots=True)
class Progress:
    """A line that is written over: "412 of 1,000 acts, about 20 s left"."""

    stream: TextIO
    what: str
    now: Now = machine_now
    _began: Instant = field(init=False)
    _shown_at: Instant | None = field(init=False, default=None)
    _width: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self._began = self.now()

    def show(self, done: int, total: int) -> None:
        """Say how many are done, of how many."""
        at = self.now()
        if not self.stream.isatty() or at - self._began < _QUIET_FOR:
            return
        if self._shown_at is not None and at - self._shown_at < _EVERY:
            return
        left = (at - self._began) * (total - done) / done
        self._write(f"{done:,} of {total:,} {self.what}, about {_left(left)} left")
        self._shown_at = at

    def end(self) -> None:
        """Wipe the line away."""
        if self._width:
            self._write("")
            self.stream.write("\r")
            self.stream.flush()

    def _write(self, text: str) -> None:
        self.stream.write(f"\r{text.ljust(self._width)}")
        self.stream.flush()
        self._width = len(text)


def _left(left: timedelta) -> str:
    if left < _MINUTE:
        return f"{max(1, round(left.total_seconds()))} s"
    return spoken(left)
