"""
A vial under the versions that were in force: stricter at once, longer only after new ink.

A shorter limit counts from the moment it is in force. A longer one counts for a marked vial
only once its new flag was stuck on and scanned. A vial that ran out stays out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from thawline.base.findings import Finding, Level, has_stop, worst_first
from thawline.base.instants import Instant, instant, written
from thawline.rules.protocol import Protocol
from thawline.vial.leaving import left_frozen
from thawline.vial.order import happened, in_order, numbered, until_discarded
from thawline.vial.reckon import Reckoning, State, reckon
from thawline.vial.story import Story, What


def standing(story: Story, versions: Sequence[Protocol], at: Instant) -> Reckoning:
    """
    Return what the versions in force since the vial was marked make of it, the strictest.

    Args:
        story: The vial's facts.
        versions: All versions of the site's protocol, at least one, in any order.
        at: The instant that is asked about.
    """
    in_turn = sorted(versions, key=_effective)
    begun = [one for one in in_turn if _effective(one) <= at] or in_turn[:1]
    by_version = [reckon(story, one, at) for one in begun]
    since = _marked(story, at)
    governing = _in_force_since(begun, since)
    strictest = _combined(by_version[-governing:], at)
    gone = list(_ran_out(begun, by_version, story))
    if not gone:
        return strictest
    findings = worst_first([*strictest.findings, *gone])
    return replace(strictest, usable=False, findings=findings)


def _effective(version: Protocol) -> Instant:
    return instant(version.protocol.effective_from)


def _marked(story: Story, at: Instant) -> Instant | None:
    """Return since when the vial's flag stands: its last flag, else leaving the freezer."""
    facts = until_discarded(happened(story.facts, at))
    flags = in_order(numbered(facts, What.FLAG))
    return flags[-1][1].when.lo if flags else left_frozen(facts)


def _in_force_since(begun: Sequence[Protocol], since: Instant | None) -> int:
    """Return how many of the versions, counted from the newest, were in force since then."""
    if since is None:
        return 1
    return 1 + sum(_effective(later) > since for later in begun[1:])


def _combined(reckonings: Sequence[Reckoning], at: Instant) -> Reckoning:
    """Return the strictest of one vial's reckonings, the newest version's last."""
    now = reckonings[-1]
    unknown_use_by = any(one.use_by is None for one in reckonings)
    sets = min(reckonings, key=lambda one: one.use_by or at)
    ready = [one.ready_at for one in reckonings]
    findings = _each_once(finding for one in reckonings for finding in one.findings)
    held = any(one.state is State.HELD for one in reckonings)
    return replace(
        now,
        state=State.HELD if held and now.state is not State.DISCARDED else now.state,
        usable=all(one.usable for one in reckonings) and not has_stop(findings),
        ready_at=None if None in ready else max(each for each in ready if each),
        use_by=None if unknown_use_by else sets.use_by,
        set_by=sets.set_by,
        set_by_item=sets.set_by_item,
        clocks=sets.clocks,
        findings=worst_first(findings),
    )


def _each_once(findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings without a second one of the same code and item."""
    return list({(each.code, each.item): each for each in findings}.values())


def _ran_out(
    begun: Sequence[Protocol], by_version: Sequence[Reckoning], story: Story
) -> Iterable[Finding]:
    """Yield a stop for each version under which the vial ran out while it was in force."""
    for (version, later), found in zip(pairwise(begun), by_version, strict=False):
        if found.use_by is not None and found.use_by < _effective(later):
            ended = written(found.use_by, story.zone)
            says = f"ran out {ended} under version {version.protocol.version}; it stays out"
            yield Finding(Level.STOP, "ran-out-before", says, found.set_by_item)
