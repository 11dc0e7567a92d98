"""
The machine's clock, for locks and codes: a rehearsal's moved present locks nobody out.

Sign-offs go by the site's present like everything else; only how long somebody was away, and
how old a code is, are measured here.
"""

from thawline.adapters.time import now
from thawline.base.instants import Instant


def wall() -> Instant:
    """Return the present by the machine's clock."""
    return now()
