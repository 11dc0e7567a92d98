"""
Who may do what: `rights.toml`, read once. What does not stand there is denied.

A role counts only while its sign-off is current; whoever has several roles has the widest way
that one of them gives. Nobody has a role on a locked tablet but what anybody may do.
"""

import tomllib
from collections.abc import Iterable, Mapping
from enum import IntEnum
from functools import cache
from pathlib import Path

import msgspec
from msgspec import Struct

from thawline.base.roles import Role

_FILE = Path(__file__).with_name("rights.toml")


class Way(IntEnum):
    """In which way somebody may do something, the narrowest first."""

    DENIED = 0
    TWO = 1
    PIN = 2
    OWN = 3
    ALLOWED = 4
    ANYBODY = 5


class Right(Struct, frozen=True, forbid_unknown_fields=True):
    """One row of the table."""

    says: str
    anybody: bool = False
    allowed: tuple[Role, ...] = ()
    own: tuple[Role, ...] = ()
    pin: tuple[Role, ...] = ()
    two: tuple[Role, ...] = ()
    glass: bool = False

    def way(self, role: Role) -> Way:
        """Return in which way a role may."""
        if self.anybody:
            return Way.ANYBODY
        ways = {Way.ALLOWED: self.allowed, Way.OWN: self.own, Way.PIN: self.pin}
        found = [way for way, roles in ways.items() if role in roles]
        return max([*found, Way.TWO if role in self.two else Way.DENIED])


@cache
def rights() -> Mapping[str, Right]:
    """
    Return the whole table.

    Raises:
        msgspec.ValidationError: The file is not what it should be.
    """
    rows = tomllib.loads(_FILE.read_text())
    return msgspec.convert(rows, dict[str, Right])


def way(action: str, roles: Iterable[Role], *, glass: bool = False) -> Way:
    """
    Return the widest way in which somebody with these roles may; KeyError if not listed.

    With `glass` broken they may alone, with their PIN, what the row opens to whoever broke it.
    """
    row = rights()[action]
    by_role = max((row.way(role) for role in roles), default=_of_nobody(row))
    return max(by_role, Way.PIN) if glass and row.glass else by_role


def _of_nobody(row: Right) -> Way:
    return Way.ANYBODY if row.anybody else Way.DENIED
