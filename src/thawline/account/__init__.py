"""Where did every dose go? Received = left + given + wasted + sent + missing, to the dose."""

from thawline.account.causes import CAUSES, Cause, Wastage, cause_named
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
from thawline.account.postings import Posting, Transfer, postings, transfers

__all__ = [
    "ACCOUNT",
    "CAUSES",
    "AccountFold",
    "Balance",
    "Cause",
    "Counted",
    "DayMoves",
    "Posting",
    "Transfer",
    "Wastage",
    "Way",
    "cause_named",
    "key_of",
    "parts_of",
    "postings",
    "transfers",
]
