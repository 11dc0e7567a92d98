"""Who opened a vial first, where two tables each say they did."""

from thawline.ledger.entries import Entry, View
from thawline.ledger.events import VialPunctured
from thawline.vial.folds import VIAL


def opened_first(view: View, vial: str, than: int) -> Entry | None:
    """Return the first entry that says the vial was opened, if it is before number `than`."""
    told = (each for each in view.history(VIAL, vial) if isinstance(each.event, VialPunctured))
    first = next((each for each in told if each.corrected_by is None), None)
    return first if first is not None and first.seq < than else None
