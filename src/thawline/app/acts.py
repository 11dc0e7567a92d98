"""
How every act is asked for: who, when and why; and how it is refused, set aside or recorded.

A command may be refused. What has already happened is a fact: it is recorded with what the
rules say against it. A refusal is set aside only where the protocol says so, with a reason
and, where it says so, a second person's own entry.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from thawline.app.ports import Site
from thawline.base.errors import (
    IndeterminateError,
    RecordError,
    RefusedError,
    SecondPersonError,
    UnsaidError,
)
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, Occurred
from thawline.give.overrides import SetAside, lacks_second_person, standing_stops
from thawline.ledger.entries import Act, Decision, Kind, Plain, Receipt, View
from thawline.ledger.events import Event
from thawline.rules.protocol import Override, ProtocolRef


@dataclass(frozen=True, slots=True)
class Second:
    """A second person: named by somebody, or there by their own PIN."""

    name: str
    by_own_entry: bool


@dataclass(frozen=True, slots=True)
class Doing:
    """Who does what when. `happened`: it is a fact already and cannot be refused."""

    by: str
    occurred: Occurred
    recorded_at: Instant
    id: UUID
    why: str = ""
    device: str = ""
    station: str = ""
    second: Second | None = None
    happened: bool = False
    dry_run: bool = False

    @property
    def at(self) -> Instant:
        """The latest it can have happened: the moment the rules are asked about."""
        return self.occurred.hi


@dataclass(frozen=True, slots=True)
class Outcome:
    """What was recorded, or on a dry run would have been (then there is no receipt)."""

    event: Event
    findings: tuple[Finding, ...]
    protocol: ProtocolRef | None
    receipt: Receipt | None


def part_of(site: Site, doing: Doing, what: str) -> Doing:
    """
    Return a part of an act that is recorded by itself, under an id made from the act's own.

    Asked again after it was cut off, a part that is recorded is not recorded twice: it means
    the same moment as the first time.
    """
    own = uuid5(doing.id, what)
    with site.ledger.view() as view:
        before = view.entry(own)
    return replace(doing, id=own, occurred=before.occurred if before else doing.occurred)


@contextmanager
def by_its_own_id(doing: Doing) -> Iterator[None]:
    """Let an act whose part may or may not be recorded be asked for again by its own id."""
    try:
        yield
    except IndeterminateError as error:
        raise IndeterminateError(
            error.says,
            advice=f"repeat the command with --id {doing.id}: nothing is recorded twice",
        ) from error


def second_person(site: Site, by: str, name: str | None, pin: str | None) -> Second | None:
    """
    Return the second person of an act.

    Raises:
        SecondPersonError: It is the same person, or the PIN is not theirs.
    """
    if not name:
        return None
    if _same_person(name, by):
        raise _second(f"{name} cannot be the second person to {by}'s own act")
    if pin is not None and not site.pins.fits(name, pin):
        raise _second(f"that is not the PIN of {name}")
    return Second(name, pin is not None)


def _same_person(one: str, other: str) -> bool:
    """Say whether two names are the same but for capitals and spaces."""
    return one.casefold().split() == other.casefold().split()


def needs_second(doing: Doing, what: str) -> Second:
    """
    Return the second person, there by their own entry.

    Raises:
        SecondPersonError: There is none, or they were only named by somebody.
    """
    if doing.second is None or not doing.second.by_own_entry:
        raise _second(f"{what} needs a second person by their own entry")
    return doing.second


def act(
    site: Site,
    doing: Doing,
    command: Mapping[str, Plain],
    decide: Callable[[View], Decision],
    *,
    kind: Kind = Kind.COMMAND,
) -> Outcome:
    """Decide and record, or on a dry run only decide; returns what came of it."""
    if not doing.by.strip():
        raise UnsaidError("nobody is named for this act", advice="add --by NAME")
    if doing.dry_run:
        with site.ledger.view() as view:
            decision = decide(view)
        return Outcome(decision.event, decision.findings, decision.protocol, None)
    kept: list[Decision] = []

    def decided(view: View) -> Decision:
        kept.append(decide(view))
        return kept[-1]

    receipt = site.ledger.record(_act(site, doing, command, kind), decided)
    event = kept[-1].event if kept else receipt.event
    if event is None:
        raise RecordError(f"the entry of {doing.id} cannot be read back")
    return Outcome(event, receipt.findings, kept[-1].protocol if kept else None, receipt)


def settle(
    doing: Doing,
    event: Event,
    against: Sequence[Finding],
    rules: Mapping[str, Override],
    protocol: ProtocolRef | None,
    beside: Sequence[Finding] = (),
) -> Decision:
    """
    Return the decision to record the event in spite of, or without, findings against it.

    Args:
        doing: A fact is never refused.
        event: What is to be recorded.
        against: What the rules say against doing it.
        rules: The refusals that the protocol lets a named person set aside.
        protocol: Under which this is decided.
        beside: Findings to show that are no reason to refuse.

    Raises:
        RefusedError: The rules forbid it; with a second person missing, SecondPersonError.
    """
    if not doing.happened:
        _refuse(doing, against, rules)
    return Decision(event, worst_first([*against, *beside]), protocol)


def _refuse(doing: Doing, against: Sequence[Finding], rules: Mapping[str, Override]) -> None:
    """Raise for the stops that this person, reason and second person do not set aside."""
    second = doing.second.name if doing.second and doing.second.by_own_entry else None
    offered = SetAside(doing.why, second)
    if lacks_second_person(against, rules, offered):
        needs_second(doing, "setting this refusal aside")
    if left := standing_stops(against, rules, offered):
        raise RefusedError(worst_first(left))


def _act(site: Site, doing: Doing, command: Mapping[str, Plain], kind: Kind) -> Act:
    return Act(
        id=doing.id,
        kind=Kind.FACT if doing.happened and kind is Kind.COMMAND else kind,
        by=doing.by,
        occurred=doing.occurred,
        recorded_at=doing.recorded_at,
        zone=_key(site.zone),
        command={
            **command,
            "why": doing.why,
            "second": doing.second.name if doing.second else None,
        },
        device=doing.device,
        station=doing.station,
    )


def _key(zone: ZoneInfo) -> str:
    return zone.key


def _second(says: str) -> SecondPersonError:
    finding = Finding(Level.STOP, "second-person", says)
    return SecondPersonError([finding], advice="add --countersign NAME with their --pin")
