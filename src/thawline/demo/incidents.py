"""
The incidents planted in Tuesday at Harrowmint Hall, with their times; all invented.

Three belong to other days of the story and are moved here: the look-alike lot, the shaken
vial, the dose that nobody recorded.
"""

from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.hall import Happens, Wanted

DRAFT = "example-10-v3-draft"
"""The protocol file of Sunday evening that says 5 mL."""

SECOND_VIAL_S = 13 * HOUR_S + 27 * MINUTE_S
"""After lunch a second preparer opens a vial at table 2: the one that is shaken."""
OUT = 3
"""Syringes drawn from it before the hold: one each at chairs 2 and 5, one on the tray."""
HELD_S = 13 * HOUR_S + 31 * MINUTE_S
LOOK_S = 13 * HOUR_S + 37 * MINUTE_S
OPENED_AHEAD_S = 11 * HOUR_S + 24 * MINUTE_S
"""Table 1 has a vial with this many doses open when its chairs close for lunch."""
LEFT_OVER_LUNCH = 4
CHAIR_7_OPENS_S = 14 * HOUR_S + 5 * MINUTE_S
ASK_AGAIN = 6
"""People who ask for their second dose a day too early."""
LEFT_EARLY = 0.004
"""The share of those with a dose who leave the observation area before their time."""

_TO_SCAN_S = 45


def _at(hour: int, minute: int) -> int:
    """Return when somebody sits down to be scanned at that time."""
    return hour * HOUR_S + minute * MINUTE_S - _TO_SCAN_S


WANTED = (
    Wanted(4, _at(9, 20), Happens.LOOK_ALIKE, longer_s=60),
    Wanted(1, _at(10, 40), Happens.CHANGES_MIND),
    Wanted(5, _at(11, 5), Happens.DROPPED, longer_s=90),
    Wanted(2, _at(13, 30), Happens.HELD_VIAL, longer_s=240),
    Wanted(5, _at(13, 30) + 20, Happens.HELD_VIAL, longer_s=240),
    Wanted(3, _at(14, 2), Happens.NOT_RECORDED, closes=True),
    Wanted(6, _at(17, 50), Happens.LEAVES_UNSEEN, closes=True),
)
