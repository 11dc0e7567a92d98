"""The shipped reactions and rates, and what a site's `site.toml` says of its reports."""

import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec

from thawline.adapters.sites import SETTINGS, read_settings
from thawline.base.errors import NotFoundError, RecordError
from thawline.report.among_many import SMALL
from thawline.report.reactions import KINDS, Reaction, Recipient, StatedRate


class Shipped(msgspec.Struct, frozen=True):
    """The reactions by code, the stated rates, and the title of each source."""

    reactions: dict[str, Reaction]
    rates: tuple[StatedRate, ...]
    titles: dict[str, str]


@cache
def shipped() -> Shipped:
    """Return what is shipped."""
    tables = tomllib.loads((files("thawline.report") / "reactions.toml").read_text())
    kinds = msgspec.convert(tables["reaction"], list[Reaction])
    return Shipped(
        {each.code: each for each in kinds},
        tuple(msgspec.convert(tables["rate"], list[StatedRate])),
        {key: source["title"] for key, source in tables["sources"].items()},
    )


def reaction_named(code: str) -> Reaction:
    """Return the reaction of that code; NotFoundError names those there are."""
    known = shipped().reactions
    if code not in known:
        raise NotFoundError(f"no reaction {code!r}", advice=f"one of {', '.join(known)}")
    return known[code]


def recipients_of(folder: Path) -> tuple[Recipient, ...]:
    """
    Return who is told of which report at a site, from `[[reports]]` of its settings.

    Raises:
        RecordError: A row is not what it should be.
    """
    rows = read_settings(folder).tables.get("reports", [])
    try:
        found = tuple(msgspec.convert(rows, list[Recipient]))
    except msgspec.ValidationError as error:
        raise _wrong(folder, "[[reports]]", str(error)) from error
    for each in found:
        if each.what not in KINDS or not each.to.strip():
            raise _wrong(folder, "[[reports]]", f"what = {each.what!r}, to = {each.to!r}")
        if each.within_h is not None and each.within_h < 1:
            raise _wrong(folder, "[[reports]]", f"within_h = {each.within_h}")
    return found


def smallest_shared(folder: Path) -> int:
    """Return the smallest count that may leave the site, `[sharing] smallest`; 5 if unsaid."""
    table: Any = read_settings(folder).tables.get("sharing", {})
    smallest = table.get("smallest", SMALL) if isinstance(table, dict) else None
    if not isinstance(smallest, int) or isinstance(smallest, bool) or smallest < 1:
        raise RecordError(
            f"{SETTINGS} of {folder.name}, [sharing]: smallest is {smallest!r}",
            advice="a whole number, 1 or more",
        )
    return smallest


def _wrong(folder: Path, table: str, says: str) -> RecordError:
    return RecordError(
        f"{SETTINGS} of {folder.name}, {table}: {says}",
        advice=f'what is one of {", ".join(KINDS)}; to = "who"; within_h = 24, or left out',
    )
