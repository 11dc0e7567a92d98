"""
The team of a site on one day, `team.toml` in its folder: sign-offs, and who works when.

The day stands on top, then a `[[team]]` table for each person; without work they are free.
"""

import re
from dataclasses import dataclass
from datetime import date, time
from pathlib import Path
from typing import Any

from thawline.adapters.toml_files import tables_of
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.roles import Role
from thawline.plan.cover import Member, Post, Span

TEAM = "team.toml"
_WALL = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)", re.ASCII)
_MUST, _WORK = {"name", "signed_off"}, {"works", "from", "to"}
_EXAMPLE = (
    'as in name = "Rowan Thistle", signed_off = ["screener"], works = "screener", '
    'from = "07:00", to = "15:30"'
)


@dataclass(frozen=True, slots=True)
class Team:
    """Everybody of a team, and the day that their work is of."""

    day: date
    members: tuple[Member, ...]


def read_team(path: Path) -> Team:
    """
    Return the team in a file.

    Raises:
        NotFoundError: There is no such file.
        RecordError: It is not what it should be; names the person and the value.
    """
    absent = NotFoundError(
        f"no team: {path.name} is not there",
        advice=f"write {TEAM} in the site's folder, or name a file with --team",
    )
    tables = tables_of(path, absent)
    day, rows = tables.get("day"), tables.get("team")
    if type(day) is not date:
        raise RecordError(f"{path.name}: day is {day!r}", advice="write day = 2026-02-03")
    if not isinstance(rows, list) or not rows:
        raise RecordError(f"{path.name} has no [[team]]", advice="one for each person")
    members = tuple(_member(row, f"{path.name}, person {n}") for n, row in enumerate(rows, 1))
    seen: set[str] = set()
    for member in members:
        if member.name.casefold() in seen:
            raise RecordError(
                f"{path.name}: {member.name!r} stands there twice", advice="one table a person"
            )
        seen.add(member.name.casefold())
    return Team(day, members)


def _member(row: Any, where: str) -> Member:
    if not isinstance(row, dict) or not _MUST <= set(row) <= _MUST | _WORK:
        raise RecordError(f"{where}: is {row!r}", advice=_EXAMPLE)
    name, signed_off = row["name"], row["signed_off"]
    if not isinstance(name, str) or not name.strip() or not name.isprintable():
        raise RecordError(f"{where}: name is {name!r}", advice=_EXAMPLE)
    if not isinstance(signed_off, list):
        raise RecordError(f"{where}: signed_off is {signed_off!r}", advice=_EXAMPLE)
    roles = frozenset(_role(each, f"{where}, {name}: signed_off") for each in signed_off)
    work = _WORK & set(row)
    if work and work != _WORK:
        raise RecordError(
            f"{where}, {name}: {', '.join(sorted(_WORK - work))} is missing", advice=_EXAMPLE
        )
    return Member(" ".join(name.split()), roles, _post(row, f"{where}, {name}"))


def _post(row: dict[str, Any], where: str) -> Post | None:
    if "works" not in row:
        return None
    starts, ends = (_wall(row[key], f"{where}: {key}") for key in ("from", "to"))
    try:
        return Post(_role(row["works"], f"{where}: works"), Span(starts, ends))
    except RecordError as error:
        raise RecordError(f"{where}: {error}", advice=error.advice) from error


def _role(value: object, where: str) -> Role:
    if not isinstance(value, str) or value not in set(Role):
        raise RecordError(f"{where} is {value!r}", advice=f"one of {', '.join(Role)}")
    return Role(value)


def _wall(value: object, where: str) -> time:
    if isinstance(value, time):
        return value
    if isinstance(value, str) and (match := _WALL.fullmatch(value)):
        return time(int(match.group(1)), int(match.group(2)))
    raise RecordError(f"{where} is {value!r}", advice='write it as "07:00"')
