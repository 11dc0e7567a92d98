"""Options that many commands share, as flattened groups."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any

from cyclopts import Parameter
from cyclopts import Token as Typed

_COLDEST_C, _WARMEST_C = Decimal(-100), Decimal(60)


def _number(_kind: Any, typed: Sequence[Typed]) -> Decimal:
    try:
        value = Decimal(typed[0].value)
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite():
        raise ValueError(f"not a number: {typed[0].value!r}")
    return value


def _degrees(kind: Any, typed: Sequence[Typed]) -> Decimal:
    value = _number(kind, typed)
    if not _COLDEST_C <= value <= _WARMEST_C:
        raise ValueError(f"not between minus 100 and 60 °C: {typed[0].value!r}")
    return value


Number = Annotated[Decimal | None, Parameter(converter=_number)]
"""A number with its decimals as they were typed."""

Celsius = Annotated[Decimal | None, Parameter(converter=_degrees)]
"""A temperature in degrees Celsius."""

Yes = Annotated[bool, Parameter(negative="")]
"""An option that is said or left out."""

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
