"""
How wide a picture through time is, and what room it keeps beside its axis.

Words keep their size on every sheet: a phone gets a picture of its own, not a shrunk one.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sheet:
    """
    The room of a picture, in pixels.

    Args:
        name: Ends the picture's name, so that two sheets of one picture can share a page.
        width: Of the whole picture.
        left: What stands left of the axis: codes, doses, words.
        right: What stands right of it: the clock time at a post.
        code: The size of a vial's code.
    """

    name: str
    width: float
    left: float
    right: float
    code: float

    @property
    def edges(self) -> tuple[float, float]:
        """Return where the axis begins and ends."""
        return self.left, self.width - self.right


TABLET = Sheet("", 960.0, 150.0, 90.0, 22.0)
DAY_ON_TABLET = Sheet("", 1120.0, 156.0, 90.0, 22.0)
PHONE = Sheet("-phone", 360.0, 100.0, 64.0, 18.0)
