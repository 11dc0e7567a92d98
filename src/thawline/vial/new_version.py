"""
What a new version of the protocol does to vials that are already under way.

A shorter limit counts at once. A longer one waits for a new flag on the vial, and nothing
brings back a vial that had run out; both are the rule of `standing`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from msgspec.structs import replace

from thawline.base.findings import Level
from thawline.base.instants import Instant, instant, written
from thawline.rules.protocol import Protocol
from thawline.vial.reckon import Reckoning, reckon
from thawline.vial.standing import standing
from thawline.vial.story import Story

_MOMENT = timedelta(milliseconds=1)


@dataclass(frozen=True, slots=True)
class Moved:
    """One vial before and after a change of rules; None in a use-by: not known."""

    use_by_before: Instant | None
    use_by_after: Instant | None
    usable_now: bool
    reason: str


def moved(story: Story, old: Protocol, new: Protocol, at: Instant) -> Moved:
    """
    Return what the change from *old* to *new* means for a vial at the instant.

    Versions count as if the old one had been in force before and the new one came by *at*,
    whatever the files say, so that a draft can be looked at before its day.
    """
    came = min(instant(new.protocol.effective_from), at)
    was = min(instant(old.protocol.effective_from), Instant(came - _MOMENT))
    versions = [_starting(old, was), _starting(new, came)]
    before = standing(story, versions[:1], at)
    after = standing(story, versions, at)
    reason = _reason(before, after) or _not_yet(reckon(story, new, at), after, story)
    return Moved(before.use_by, after.use_by, after.usable, reason)


def _starting(protocol: Protocol, at: Instant) -> Protocol:
    return replace(protocol, protocol=replace(protocol.protocol, effective_from=at))


def _reason(before: Reckoning, after: Reckoning) -> str | None:
    """Return why the vial stands as it does now; None where its limit did not move."""
    if not before.usable:
        return f"not usable before either: {_stops(before)}"
    if not after.usable:
        return f"not usable any more: {_stops(after)}"
    earlier, later = before.use_by, after.use_by
    if earlier is not None and later is not None and later < earlier:
        return f"shorter by item {after.set_by_item or 'label'}"
    return None


def _not_yet(alone: Reckoning, after: Reckoning, story: Story) -> str:
    """Return what a new flag would give the vial, as the new version alone has it."""
    if alone.use_by is None or after.use_by is None or alone.use_by <= after.use_by:
        return "no change"
    return f"longer, until {written(alone.use_by, story.zone)}, once a new flag is scanned"


def _stops(reckoning: Reckoning) -> str:
    stops: Sequence[str] = [f.says for f in reckoning.findings if f.level is Level.STOP]
    return "; ".join(stops) or str(reckoning.state)
