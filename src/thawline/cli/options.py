"""Options that many commands share, as flattened groups."""

from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

Readable = Annotated[str, Parameter(allow_leading_hyphen=True)]
"""The path of a file to read; a lone hyphen is standard input."""


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Where:
    """
    Which site and which moment a question is about.

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    at
        The moment asked about: 13:37 today, or a time with its offset; now if left out.
    """

    site: str | None = None
    at: str | None = None


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Acting:
    """
    Who does it, where, when and why.

    Parameters
    ----------
    by
        Who does it, or did it.
    why
        The reason, in a few words.
    site
        The site's name; not needed where there is only one.
    at
        When it happened; now if left out.
    until
        The latest it can have happened, where the time is not known exactly.
    station
        The table or chair.
    device
        The device it is typed on.
    id
        The id of this act: the same id again records nothing new.
    countersign
        A second person, by name.
    pin
        The second person's own PIN; without it they are only named.
    happened
        It has happened already: record it as a fact, whatever rule it breaks.
    dry_run
        Show exactly what would be recorded, and record nothing.
    """

    by: str = ""
    why: str = ""
    site: str | None = None
    at: str | None = None
    until: str | None = None
    station: str = ""
    device: str = ""
    id: str | None = None
    countersign: str | None = None
    pin: str | None = None
    happened: Annotated[bool, Parameter(negative="")] = False
    dry_run: Annotated[bool, Parameter(negative="")] = False
