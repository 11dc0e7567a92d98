"""
What the rules say against moving a vial: to the fridge, to the table, to the freezer.

A thawed vial is never refrozen. A vial goes back from the table only where the protocol says
that it may. What is held or past its use-by stays where it is, cold and apart.
"""

from collections.abc import Iterator

from thawline.base.findings import Finding, Level
from thawline.rules.protocol import Protocol
from thawline.vial.reckon import Reckoning, State, against_use


def move_findings(
    vial: str, reckoning: Reckoning, to: str, protocol: Protocol, *, on_table: bool
) -> Iterator[Finding]:
    """
    Yield what speaks against the move; nothing means it may go.

    Args:
        vial: Its code.
        reckoning: What the rules make of it now.
        to: fridge, table or freezer.
        protocol: The version in force.
        on_table: Whether it stands on the table now.
    """
    if reckoning.state is State.DISCARDED:
        yield Finding(Level.STOP, "vial-discarded", f"{vial} was discarded")
        return
    if to == "freezer" and reckoning.state is not State.FROZEN:
        item = protocol.thaw.refrigerator.item
        says = f"{vial} has left the freezer; a thawed vial is never refrozen"
        yield Finding(Level.STOP, "refrozen", says, item)
    if to == "fridge" and on_table:
        yield from _back_from_table(vial, reckoning, protocol)
    if to == "table":
        yield from against_use(vial, reckoning)


def _back_from_table(vial: str, reckoning: Reckoning, protocol: Protocol) -> Iterator[Finding]:
    permission = protocol.handling.return_from_table
    if reckoning.state is State.OPEN:
        says = f"{vial} is open; an open vial is not kept"
        yield Finding(Level.STOP, "open-not-kept", says, _item(protocol, "open"))
    elif reckoning.state is not State.HELD and not (permission and permission.may):
        says = f"{vial} does not go back from the table: the protocol does not say that it may"
        item = permission.item if permission else None
        yield Finding(Level.STOP, "no-return-from-table", says, item)


def _item(protocol: Protocol, clock: str) -> str | None:
    found = protocol.clocks.get(clock)
    return found.item if found else None
