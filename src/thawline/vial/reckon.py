"""
One vial under one protocol at one instant: its state, its use-by and what is wrong with it.

`reckon` puts the answers of this room together. "Usable" means: strictly before use-by, not
held, not discarded, and nothing that stops it. The page behind it is
`docs/background/vial-clocks.md`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding, Level, has_stop, worst_first
from thawline.base.instants import Instant, written
from thawline.rules.protocol import Protocol
from thawline.vial.carrying import carry_findings, trips
from thawline.vial.clocks import Case, Running, running_clocks
from thawline.vial.leaving import holds, left_frozen, missing_history, refrozen
from thawline.vial.opening import (
    draw_findings,
    opened_at,
    opening_findings,
    progress_at_opening,
    punctures,
)
from thawline.vial.order import happened, numbered, until_discarded
from thawline.vial.story import Fact, Story, What
from thawline.vial.thawing import Progress, progress


class State(StrEnum):
    """Where a vial is on its way; held and discarded stand beside the way."""

    FROZEN = "frozen"
    THAWING = "thawing"
    CHILLED = "chilled"
    WARMING = "warming"
    READY = "ready"
    OPEN = "open"
    HELD = "held"
    DISCARDED = "discarded"


@dataclass(frozen=True, slots=True)
class Reckoning:
    """What the rules make of a vial's story at an instant; None in a field: there is none."""

    state: State
    usable: bool
    ready_at: Instant | None
    use_by: Instant | None
    set_by: str | None
    set_by_item: str | None
    clocks: tuple[Running, ...]
    findings: tuple[Finding, ...]
    not_known: tuple[str, ...] = ()

    def may_be_opened(self, at: Instant) -> bool:
        """Say whether it is usable, closed, and has stood long enough."""
        ready = self.ready_at is not None and at >= self.ready_at
        return self.usable and ready and self.state is State.READY


_NEEDED = {"expiry", "thawed_at", "room_used_min"}
"""Without these a use-by cannot be known."""


def reckon(story: Story, protocol: Protocol, at: Instant) -> Reckoning:
    """Return what the protocol makes of the story's facts up to the instant."""
    facts, late = _lived(happened(story.facts, at))
    case = Case(story, tuple(facts), protocol, at)
    came = _progress(case)
    clocks = running_clocks(case, trips(facts, at))
    unknown = _unknown(case, came)
    use_by = None if _NEEDED & set(unknown) else _earliest(clocks)
    findings = [*_findings(case, came), *late]
    if use_by and use_by.ends and at >= use_by.ends:
        findings.append(past_use_by(use_by, case.zone))
    state = _state(case, came, findings)
    usable = use_by is not None and state is not State.DISCARDED and not has_stop(findings)
    return Reckoning(
        state=state,
        usable=usable,
        ready_at=None if state is State.DISCARDED else came.ready_at,
        use_by=use_by.ends if use_by else None,
        set_by=use_by.clock if use_by else None,
        set_by_item=use_by.item if use_by else None,
        clocks=tuple(clocks),
        findings=worst_first(findings),
        not_known=unknown,
    )


def against_use(vial: str, reckoning: Reckoning) -> tuple[Finding, ...]:
    """Return why the vial may not be used; nothing exactly when it is usable."""
    found = [each for each in reckoning.findings if each.level is Level.STOP]
    if reckoning.state is State.DISCARDED:
        found.append(Finding(Level.STOP, "vial-discarded", f"{vial} was discarded"))
    if reckoning.use_by is None:
        says = f"nobody knows until when {vial} may be used: do not use, do not discard, call"
        found.append(Finding(Level.STOP, "use-by-not-known", says))
    return tuple(found)


def past_use_by(limit: Running, zone: ZoneInfo) -> Finding:
    """Return the finding of a vial whose limit has come."""
    ended = written(limit.ends, zone) if limit.ends else ""
    says = f"past its use-by time: {limit.clock} ended {ended}"
    return Finding(Level.STOP, "past-use-by", says, limit.item)


def _lived(facts: Sequence[Fact]) -> tuple[list[Fact], list[Finding]]:
    """Return the facts up to the discard, and a finding for each that comes after it."""
    kept = until_discarded(facts)
    says = "{} written after it was discarded"
    late = [
        Finding(Level.CHECK, "after-discard", says.format(fact.what))
        for fact in facts
        if not any(fact is each for each in kept)
    ]
    return kept, late


def _progress(case: Case) -> Progress:
    if punctures(case.facts):
        return progress_at_opening(case.facts, case.protocol.thaw)
    return progress(case.facts, case.protocol.thaw, case.at)


def _earliest(clocks: Sequence[Running]) -> Running:
    """Return the limit that ends first; of equals, the first one listed."""
    ending = [(clock.ends, n) for n, clock in enumerate(clocks) if clock.ends is not None]
    return clocks[min(ending)[1]]


def _unknown(case: Case, came: Progress) -> tuple[str, ...]:
    unknown = ["expiry"] if case.story.last_day is None else []
    unknown += missing_history(case.facts)
    if not came.certain and not punctures(case.facts):
        unknown.append("ready_at")
    return tuple(unknown)


def _findings(case: Case, came: Progress) -> list[Finding]:
    facts, rules = case.facts, case.protocol
    found = holds(facts, rules.bands)
    if refrozen(facts):
        says = "frozen again after it had left the freezer; a thawed vial is never refrozen"
        found.append(Finding(Level.STOP, "refrozen", says, rules.thaw.refrigerator.item))
    found += opening_findings(facts, rules.thaw, case.zone)
    found += draw_findings(facts, rules.product.doses_per_vial, rules.punctures)
    carried = trips(facts, case.at)
    found += carry_findings(carried, case.came_with, opened_at(facts), rules.transport, case.at)
    if not came.certain and not punctures(facts):
        says = "the order of its last two moves is not known, so when it is ready is not either"
        found.append(
            Finding(Level.CHECK, "order-not-known", says, rules.thaw.refrigerator.item)
        )
    return found


_HOLDING = {"held", "lot-held", "arrived-without-history", "table-out-of-range", "refrozen"}


def _state(case: Case, came: Progress, findings: Sequence[Finding]) -> State:
    if numbered(case.facts, What.DISCARD):
        return State.DISCARDED
    if _HOLDING & {finding.code for finding in findings}:
        return State.HELD
    if punctures(case.facts):
        return State.OPEN
    if left_frozen(case.facts) is None:
        return State.FROZEN
    return _closed_state(came, case.at)


def _closed_state(came: Progress, at: Instant) -> State:
    if came.thawed_at is None or at < came.thawed_at:
        return State.THAWING
    if not came.on_table:
        return State.CHILLED
    ready = came.certain and came.ready_at is not None and at >= came.ready_at
    return State.READY if ready else State.WARMING
