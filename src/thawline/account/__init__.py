"""Where did every dose go? Received = left + given + wasted + sent + missing, to the dose."""

from thawline.account.balance import (
    Balances,
    Sheet,
    VialSheet,
    below_zero,
    lots,
    sheet,
    vial_sheets,
)
from thawline.account.causes import CAUSES, Cause, Wastage, cause_named, kind_findings
from thawline.account.closeout import blockers, gaps, places
from thawline.account.clues import FINDERS, Clue, Gap
from thawline.account.fold import (
    ACCOUNT,
    AccountFold,
    Balance,
    Counted,
    DayMoves,
    Way,
    key_of,
    parts_of,
)
from thawline.account.likeliest import GUIDE, Likely, likeliest, spoken_odds
from thawline.account.postings import Posting, Transfer, postings, transfers
from thawline.account.traces import Weights, read_weights
from thawline.account.wastage import (
    Usage,
    Wasted,
    WasteSheet,
    combined_wastage,
    usage_by_vial,
    wastage_factor,
    waste_sheet,
)

__all__ = [
    "ACCOUNT",
    "CAUSES",
    "FINDERS",
    "GUIDE",
    "AccountFold",
    "Balance",
    "Balances",
    "Cause",
    "Clue",
    "Counted",
    "DayMoves",
    "Gap",
    "Likely",
    "Posting",
    "Sheet",
    "Transfer",
    "Usage",
    "VialSheet",
    "Wastage",
    "WasteSheet",
    "Wasted",
    "Way",
    "Weights",
    "below_zero",
    "blockers",
    "cause_named",
    "combined_wastage",
    "gaps",
    "key_of",
    "kind_findings",
    "likeliest",
    "lots",
    "parts_of",
    "places",
    "postings",
    "read_weights",
    "sheet",
    "spoken_odds",
    "transfers",
    "usage_by_vial",
    "vial_sheets",
    "wastage_factor",
    "waste_sheet",
]
