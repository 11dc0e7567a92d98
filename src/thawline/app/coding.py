"""Codes for vials that get their flag at this site: the next ones that no vial here bears."""

from itertools import islice

from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.ids import VialCode
from thawline.ledger.entries import View
from thawline.ledger.site import KEY, SITE
from thawline.vial.codes import CODES, vial_code
from thawline.vial.folds import VIAL

MOST_AT_ONCE = 500
"""The most vials, or doses, of one act."""


def new_codes(site: Site, view: View, count: int) -> tuple[VialCode, ...]:
    """
    Return codes for vials that have none, passing over any that is in use here.

    Raises:
        RecordError: Not 1 to 500 vials, or no code is left.
    """
    if not 1 <= count <= MOST_AT_ONCE:
        raise RecordError(f"vials must be 1 to {MOST_AT_ONCE}: {count}")
    state = view.one(SITE, KEY)
    first = state.coded if state else 0
    numbered = (vial_code(first + number, site.name) for number in range(CODES))
    unused = tuple(islice((c for c in numbered if view.one(VIAL, c) is None), count))
    if len(unused) < count:
        raise RecordError(f"no {count} vial codes are left at {site.name}")
    return unused
