"""
A needle-stick: the private card is kept first, with the names; then the dose is wasted.

The ledger holds only that a dose was wasted. Who was stuck, and by whose needle, stays out.
"""

from dataclasses import replace

from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.app.screenings import refuse_others
from thawline.app.vials import waste
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.instants import written
from thawline.vial.syringes import SYRINGE

CAUSE = "needle-stick"
USED = ("yes", "no", "not-known")
AT_ONCE = (
    "Wash with soap and water now; splashed eyes or mouth with water.",
    "Tell the clinical lead now.",
    "Occupational health at once, also when the needle seemed clean.",
    "Keep the needle's history: used or not, and on whom.",
    "Licensed practice decides what follows.",
)
"""What to do; common practice, the site's own exposure plan stands above it."""


def stuck(
    site: Site, doing: Doing, syringe: str, needle_used: str, source: str
) -> Outcome | None:
    """
    Keep a private exposure card and waste the dose; None when there was no drawn dose.

    Raises:
        RecordError: `needle_used` is none of yes, no and not-known.
        UnsaidError: Nobody is named for the act.
    """
    if needle_used not in USED:
        raise RecordError(
            f"needle used cannot be {needle_used!r}", advice=f"one of {', '.join(USED)}"
        )
    if not doing.by.strip():
        raise UnsaidError("nobody is named for this act", advice="add --by NAME")
    with site.ledger.view() as view:
        state = view.one(SYRINGE, syringe)
        again = view.entry(doing.id) is not None
    if not doing.dry_run:
        site.people.keep_exposure(
            str(doing.id), _card(site, doing, syringe, needle_used, source)
        )
    if not again and (state is None or state.became != "drawn"):
        return None
    return waste(site, replace(doing, why=""), f"syringe:{syringe}", 1, CAUSE)


def _card(
    site: Site, doing: Doing, syringe: str, needle_used: str, source: str
) -> dict[str, str]:
    return {
        "who": doing.by,
        "not before": written(doing.occurred.lo, site.zone),
        "not after": written(doing.occurred.hi, site.zone),
        "syringe": syringe,
        "needle used": needle_used,
        "source person": source.strip() or "not known",
        "words": doing.why,
    }


def cards(site: Site, by: str, pin: str | None) -> list[dict[str, str]]:
    """
    Return the private exposure cards.

    Raises:
        SecondPersonError: It is not the clinical lead's own PIN.
    """
    refuse_others(site, by, pin, "exposure cards are read")
    return site.people.exposures()
