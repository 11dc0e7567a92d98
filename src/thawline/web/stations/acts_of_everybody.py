"""What anybody may press on any screen: undo their own last entry."""

from dataclasses import replace
from datetime import timedelta

from thawline.app import mending
from thawline.app.acts import Doing, Outcome
from thawline.app.journal import named_entry
from thawline.app.ports import Site
from thawline.web.acts import Form, PageAct
from thawline.web.who import Who

UNDO_WITHIN = timedelta(minutes=10)
"""After which an entry is corrected, with a reason."""


class OnEntry(Form, frozen=True):
    """An entry of the journal, by its id."""

    entry: str


def _undo(site: Site, doing: Doing, form: OnEntry) -> Outcome:
    return mending.undo(site, replace(doing, why="undone at the screen"), form.entry)


def _is_own(site: Site, who: Who, form: OnEntry) -> bool:
    """Say whether the entry is the person's own, written in the last ten minutes."""
    with site.ledger.view() as view:
        entry = named_entry(view, form.entry)
    return entry.by == who.name and site.now() - entry.recorded_at <= UNDO_WITHIN


ACTS = (
    PageAct(
        "undo",
        "undo-own",
        OnEntry,
        _undo,
        lambda _form, _outcome: "undone; both lines stay in the journal",
        own=_is_own,
        undone=False,
    ),
)
