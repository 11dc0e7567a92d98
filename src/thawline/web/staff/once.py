"""A change of `ops.db` with its remark in the journal: both or neither, once for each act."""

from collections.abc import Callable

from django.db import transaction

from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.app.remarks import remark


def once(
    site: Site, doing: Doing, command: str, says: str, change: Callable[[], object]
) -> Outcome:
    """Make a change and write its remark; an act that is sent again changes nothing more."""
    with transaction.atomic():
        with site.ledger.view() as view:
            is_again = view.entry(doing.id) is not None
        if not is_again:
            change()
        return remark(site, doing, command, says)
