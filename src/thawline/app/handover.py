"""
The handover of a shift: one page in the order in which it is spoken, and who took it over.

Open vials, what is held, what to watch, which alerts nobody has answered. Read it aloud; the
one who comes reads back.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from thawline.app.acts import Doing, Outcome, act
from thawline.app.alerts_now import alerts_now
from thawline.app.doses import Unrecorded, unrecorded_in
from thawline.app.in_force import in_force
from thawline.app.observing import waiting
from thawline.app.ports import Site
from thawline.app.standby import standby_list
from thawline.app.standings import Stood, all_stood
from thawline.base.errors import RecordError
from thawline.base.findings import Finding
from thawline.base.instants import Instant
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.handover_events import HandoverAccepted
from thawline.observe.kit_fold import KEY, KIT, paused_since
from thawline.observe.leaving import Leave
from thawline.person.standby import OnTheWay
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Handover:
    """
    What is spoken, in its order.

    `lying` counts drawn syringes that are neither given nor wasted; `paused` is since when
    vaccinating is paused, None where it is not.
    """

    open_vials: tuple[Stood, ...]
    lying: int
    held: tuple[Stood, ...]
    warming: tuple[Stood, ...]
    ready: tuple[Stood, ...]
    paused: Instant | None
    staying: tuple[Leave, ...]
    unrecorded: tuple[Unrecorded, ...]
    on_the_way: tuple[OnTheWay, ...]
    alerts: tuple[Finding, ...]


def handover(site: Site, view: View, stands: Sequence[Stood], at: Instant) -> Handover:
    """Return the page of this moment."""
    kit = view.one(KIT, KEY)
    return Handover(
        open_vials=_by_end(each for each in _in(stands, State.OPEN) if each.vial.left > 0),
        lying=sum(syringe.became == "drawn" for _, syringe in view.all(SYRINGE)),
        held=_by_end(_in(stands, State.HELD)),
        warming=_by_end(_in(stands, State.WARMING)),
        ready=_by_end(_in(stands, State.READY)),
        paused=None if kit is None else paused_since(kit, at),
        staying=tuple(each for each in waiting(site, at) if not each.may(at)),
        unrecorded=tuple(unrecorded_in(view)),
        on_the_way=standby_list(site, view, at).on_the_way,
        alerts=alerts_now(site, view, stands, at),
    )


def _in(stands: Sequence[Stood], state: State) -> list[Stood]:
    return [each for each in stands if each.reckoning.state is state]


def _by_end(found: Iterable[Stood]) -> tuple[Stood, ...]:
    """Return vials by their end, the earliest first and those of no known end before all."""
    return tuple(sorted(found, key=lambda each: (str(each.reckoning.use_by or ""), each.code)))


def accept(site: Site, doing: Doing, handed_by: str) -> Outcome:
    """
    Record who took over from whom, and how things stood; a fact.

    Raises:
        RecordError: Nobody is named who goes, or it is the same person.
    """
    goes = " ".join(handed_by.split())
    if not goes or goes.casefold() == doing.by.casefold():
        raise RecordError(
            "a handover is between two people", advice="type the name of the one who goes"
        )

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        stands = tuple(all_stood(view, rules, doing.at))
        found = handover(site, view, stands, doing.at)
        event = HandoverAccepted(
            handed_by=goes,
            open_vials=len(found.open_vials),
            held=len(found.held),
            alerts=len(found.alerts),
        )
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {"command": "handover accept", "from": goes}
    return act(site, doing, command, decide, kind=Kind.FACT)
