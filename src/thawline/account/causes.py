"""
Why doses are wasted: every cause is listed here once, with the kind of waste it counts as.

The kinds are WHO's: closed-vial wastage before a vial's first puncture, open-vial wastage
after it. A cause of the wrong kind would move doses between the two figures, so each cause
belongs to one kind only. Source of the kinds and of the causes marked WHO: WHO, "Monitoring
vaccine wastage at country level", WHO/V&B/03.18, as read in excerpts; the others are common
practice.
"""

from dataclasses import dataclass
from enum import StrEnum

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level


class Wastage(StrEnum):
    """Which of the two WHO kinds a wasted dose counts as."""

    OPEN = "open-vial"
    CLOSED = "closed-vial"


@dataclass(frozen=True, slots=True)
class Cause:
    """One reason why a dose could not be given; `source` says who lists it."""

    name: str
    kind: Wastage
    says: str
    source: str


_WHO = "WHO/V&B/03.18"
_TRADE = "common practice"
_LISTED = (
    Cause("leftover", Wastage.OPEN, "left in an open vial at the end of the day", _WHO),
    Cause("technique", Wastage.OPEN, "drawn badly: air, wrong volume, bent needle", _WHO),
    Cause("use-by", Wastage.OPEN, "open vial or drawn syringe past its use-by time", _TRADE),
    Cause("short-volume", Wastage.OPEN, "the vial held less than its doses", _TRADE),
    Cause("spilled", Wastage.OPEN, "leaked, dropped or pulled away", _TRADE),
    Cause("contaminated", Wastage.OPEN, "needle or stopper touched", _TRADE),
    Cause("needle-stick", Wastage.OPEN, "somebody was stuck with the needle", _TRADE),
    Cause("not-taken", Wastage.OPEN, "drawn for a person who did not have it", _TRADE),
    Cause("held-open", Wastage.OPEN, "told to discard after a hold, vial open", _TRADE),
    Cause(
        "looks-wrong-open", Wastage.OPEN, "particles or odd color seen after opening", _TRADE
    ),
    Cause("broken-open", Wastage.OPEN, "an open vial or drawn syringe broke", _TRADE),
    Cause("expired", Wastage.CLOSED, "past the expiry on the label, unopened", _WHO),
    Cause("too-warm", Wastage.CLOSED, "unopened, told to discard after heat", _WHO),
    Cause("too-cold", Wastage.CLOSED, "unopened, frozen again or too cold", _WHO),
    Cause("broken", Wastage.CLOSED, "an unopened vial broke", _WHO),
    Cause("outreach", Wastage.CLOSED, "unopened, discarded after outreach", _WHO),
    Cause("past-thaw", Wastage.CLOSED, "unopened past a limit that thawing started", _TRADE),
    Cause("held", Wastage.CLOSED, "told to discard after a hold, unopened", _TRADE),
    Cause("recalled", Wastage.CLOSED, "recalled lot, unopened", _TRADE),
    Cause("looks-wrong", Wastage.CLOSED, "particles or odd color seen, unopened", _TRADE),
)
CAUSES: dict[str, Cause] = {cause.name: cause for cause in _LISTED}
"""Every cause of waste by its name, open-vial causes first."""


def cause_named(name: str) -> Cause:
    """
    Return the cause of that name.

    Raises:
        RecordError: No such cause is listed.
    """
    if name not in CAUSES:
        raise RecordError(
            f"unknown cause of waste: {name!r}", advice=f"choose one of {', '.join(CAUSES)}"
        )
    return CAUSES[name]


def kind_findings(cause: Cause, *, opened: bool) -> tuple[Finding, ...]:
    """Return a finding when a cause of the other kind was named for this vial."""
    fits = Wastage.OPEN if opened else Wastage.CLOSED
    if cause.kind is fits:
        return ()
    was = "opened" if opened else "never opened"
    return (
        Finding(
            Level.CHECK,
            "cause-of-other-kind",
            f"Cause {cause.name!r} is {cause.kind} waste, and the vial was {was}. "
            f"The waste figures will be off by it. Name a cause of {fits} waste.",
        ),
    )
