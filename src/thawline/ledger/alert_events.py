"""
What can happen about the alerts and nights of a site, in the past tense.

Bodies as in `events.py`. An alert says that a call was due; it makes and ends no excursion.
"""

from thawline.ledger.events import Event


class AlertRaised(Event, frozen=True, kw_only=True):
    """A call about a storage unit was due; its excursion began with the first reading."""

    unit: str
    cause: str  # above, below, silent
    since_ms: int  # the first reading outside the band; of a silent logger the last reading
    level: str
    item: str | None = None
    temp_mc: int | None = None  # the reading that raised it
    low_mc: int | None = None  # the ends of the band then
    high_mc: int | None = None


class AlertCleared(Event, frozen=True, kw_only=True):
    """Readings were back inside long enough; the alert was over, the excursion stays one."""

    unit: str
    cause: str
    since_ms: int


class AlertAnswered(Event, frozen=True, kw_only=True):
    """Somebody answered about a unit's alerts; with `takes` they took them on."""

    unit: str
    answered_by: str
    says: str
    takes: bool = True


class TestCallAnswered(Event, frozen=True, kw_only=True):
    """The site's dialler or a person answered a test call, and is there until a time."""

    __test__ = False  # the trade's word; no test of this program

    answered_by: str
    until_ms: int
    dialler: bool = False
