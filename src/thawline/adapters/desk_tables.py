"""
The `[desk]` and `[second_doses]` tables of `site.toml`.

`[desk] refuses_without` names what a check before the needle refuses a dose without; local
law and practice differ, so a site says it for itself. `[second_doses] a_day` is how many
people it can take, `on` says otherwise for single days.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from thawline.base.errors import RecordError
from thawline.base.instants import read_date
from thawline.person.desk import CONSENT, IDENTITY
from thawline.plan.capacity import SecondPlaces

_REFUSES = "refuses_without"
_KNOWN = (IDENTITY, CONSENT)
_SECOND = {"a_day", "on"}
_ON = 'write on = { "2026-03-07" = 150 }, each day once'


def read_desk(tables: Mapping[str, Any], where: str) -> frozenset[str]:
    """
    Return what the site refuses a dose without; nothing where the file does not say.

    Raises:
        RecordError: The table is not what it should be; names the value.
    """
    table = tables.get("desk", {})
    if not isinstance(table, dict) or set(table) - {_REFUSES}:
        raise RecordError(f"{where}: 'desk' is {table!r}", advice=f"write {_REFUSES} alone")
    said = table.get(_REFUSES, [])
    if not isinstance(said, list) or any(each not in _KNOWN for each in said):
        raise RecordError(
            f"{where}: {_REFUSES} is {said!r}", advice=f"a list of {', '.join(_KNOWN)}"
        )
    return frozenset(said)


def read_second_places(tables: Mapping[str, Any], where: str) -> SecondPlaces | None:
    """
    Return how many people the site takes a day; None where the file does not say.

    Raises:
        RecordError: The table is not what it should be; names the value.
    """
    table = tables.get("second_doses")
    if table is None:
        return None
    if not isinstance(table, dict) or not table or set(table) - _SECOND:
        advice = 'write a_day = 300, and on = { "2026-03-07" = 150 } for single days'
        raise RecordError(f"{where}: 'second_doses' is {table!r}", advice=advice)
    on = table.get("on", {})
    if not isinstance(on, dict):
        raise RecordError(f"{where}: on is {on!r}", advice=_ON)
    a_day = _count(table["a_day"], where, "a_day") if "a_day" in table else None
    return SecondPlaces(a_day, dict(_on_a_day(on, where)))


def _on_a_day(on: Mapping[str, Any], where: str) -> Iterator[tuple[date, int]]:
    """Yield single days with their numbers; the same day written twice is refused."""
    named: set[date] = set()
    for text, number in on.items():
        try:
            day = read_date(text)
        except RecordError as error:
            says = f"{where}: [second_doses] on has the key {text!r}: {error.says}"
            raise RecordError(says, advice=_ON) from error
        if day in named:
            raise RecordError(
                f"{where}: [second_doses] on names {day.isoformat()} twice", advice=_ON
            )
        named.add(day)
        yield day, _count(number, where, text)


def _count(value: object, where: str, key: str) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise RecordError(f"{where}: {key} is {value!r}", advice="a whole number, 0 or more")
    return value
