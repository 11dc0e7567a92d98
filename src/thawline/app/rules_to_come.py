"""What another version of the rules would do to the vials that are here now."""

from collections.abc import Iterable
from dataclasses import dataclass

from thawline.app.standings import Stood, story_here
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.rules.protocol import Protocol
from thawline.vial.new_version import Moved, moved
from thawline.vial.reckon import State


@dataclass(frozen=True, slots=True)
class Moving:
    """
    One vial whose limit would move.

    `later` None where one of the two limits is not known.
    """

    code: str
    held: bool
    moved: Moved
    later: bool | None


def vials_moving(
    view: View, stands: Iterable[Stood], old: Protocol, new: Protocol, at: Instant
) -> tuple[Moving, ...]:
    """Return the vials, not done with, whose use-by another version would move."""
    found = []
    for each in stands:
        if each.reckoning.state is State.DISCARDED or each.vial.sent_to is not None:
            continue
        change = moved(story_here(view, each.vial), old, new, at)
        if change.use_by_before != change.use_by_after:
            held = each.reckoning.state is State.HELD
            found.append(Moving(each.code, held, change, _later(change)))
    return tuple(found)


def _later(change: Moved) -> bool | None:
    before, after = change.use_by_before, change.use_by_after
    return None if before is None or after is None else after > before
