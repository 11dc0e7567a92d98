"""
Whether a backup may take the ledger's place, and how the ledger goes on from it.

Nothing is thrown away: what stood there is put aside. The ledger goes on in a new epoch that
names the last entry of the backup, so that nobody takes the two for one.
"""

from dataclasses import dataclass
from uuid import UUID

from thawline.app.ports import Ledger
from thawline.base.errors import RecordError, RefusedError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, exactly
from thawline.ledger.entries import Act, Decision, Head, Kind, Receipt, View
from thawline.ledger.events import EpochBegan


@dataclass(frozen=True, slots=True)
class Here:
    """
    The ledger that a backup would take the place of.

    `head` is None where the ledger cannot be read; `agrees` says whether it and the backup have
    the same hash at the last entry that both have.
    """

    site: UUID | None
    head: Head | None
    agrees: bool


@dataclass(frozen=True, slots=True)
class Restoring:
    """Who restores when and why; `replace` says that newer entries may be put aside."""

    id: UUID
    by: str
    at: Instant
    why: str
    zone: str
    replace: bool = False


def may_restore(here: Here | None, site: UUID, backup: Head, restoring: Restoring) -> None:
    """
    Look whether the backup may take the place of what is here; `here` None: nothing is.

    Raises:
        RecordError: Nobody or no reason is named, or the backup is another site's.
        RefusedError: Entries that are not in the backup would be put aside.
    """
    if not restoring.by.strip() or not restoring.why.strip():
        raise UnsaidError("who restores, and why?", advice="add --by NAME --why REASON")
    if here is None:
        return
    if here.site is not None and here.site != site:
        raise RecordError(
            "the backup is of another site", advice="restore it under that site's name"
        )
    says = _lost(here, backup)
    if says and not restoring.replace:
        raise RefusedError(
            [Finding(Level.STOP, "ledger-ahead", says)],
            advice="add --replace to put what is here aside all the same",
        )


def begin_epoch(ledger: Ledger, parent: Head, restoring: Restoring) -> Receipt:
    """Write the entry by which a restored ledger goes on."""

    def decide(view: View) -> Decision:
        if view.head != parent:
            raise RecordError("the restored ledger is not the one that was checked")
        return Decision(
            EpochBegan(
                parent_epoch=parent.epoch,
                parent_seq=parent.seq,
                parent_hash=parent.hash.hex(),
                why=restoring.why,
            )
        )

    act = Act(
        id=restoring.id,
        kind=Kind.FACT,
        by=restoring.by,
        occurred=exactly(restoring.at),
        recorded_at=restoring.at,
        zone=restoring.zone,
        command={"verb": "backup restore", "parent": parent.hash.hex(), "why": restoring.why},
    )
    return ledger.record(act, decide)


def _lost(here: Here, backup: Head) -> str:
    """Return what would be put aside that the backup does not hold; empty if nothing would."""
    if here.head is None:
        return "the ledger here cannot be read, so nobody knows what it holds beyond the backup"
    if not here.agrees:
        return "the ledger here went another way than the backup"
    ahead = here.head.seq - backup.seq
    return f"the ledger here has {ahead} newer entries than the backup" if ahead > 0 else ""
