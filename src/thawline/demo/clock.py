"""A clock that the demo moves from act to act; it reads no machine's clock."""

from dataclasses import dataclass

from thawline.base.instants import Instant


@dataclass(slots=True)
class MovedClock:
    """The present of the demo."""

    at: Instant

    def now(self) -> Instant:
        """Return the moment it was moved to."""
        return self.at

    def move(self, at: Instant) -> None:
        """Move it on."""
        self.at = at
