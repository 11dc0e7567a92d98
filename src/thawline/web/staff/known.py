"""
Who works here, as every request asks: read once, and anew after each change of these rows.

While a site is served nothing but its server writes `ops.db`. What a statement of this process
changes is seen by the very next request, whoever sends it; see decision 0158.
"""

from collections.abc import Callable
from copy import copy
from dataclasses import dataclass
from datetime import date, datetime
from itertools import count
from typing import Any, TypeVar

from django.contrib.auth.backends import ModelBackend
from django.db import connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.signals import connection_created

from thawline.web.staff.models import Glass, SignOff, Staff

T = TypeVar("T")
_TABLES = tuple(each._meta.db_table for each in (Staff, SignOff, Glass))  # noqa: SLF001  public
_KEPT_AT_MOST = 1000
_changes = count(1)
_newest = [0]
_kept: dict[tuple[str, object], tuple[int, Any]] = {}


@dataclass(frozen=True, slots=True)
class Known:
    """
    Somebody who works here.

    Args:
        staff: Their row; whoever is told of it gets a copy.
        sign_offs: Their roles, each with the last day that it counts.
        glass: The reasons for which they broke the glass, each with its end.
    """

    staff: Staff
    sign_offs: tuple[tuple[str, date], ...]
    glass: tuple[tuple[str, datetime], ...]


class KnownPeople(ModelBackend):
    """Finds out whose a session is, without asking `ops.db` each time."""

    def get_user(self, user_id: int) -> Staff | None:
        """Return who has that number; None for nobody, or whoever may not log in now."""
        found = known(user_id)
        return copy(found.staff) if found is not None and found.staff.is_active else None


def known(key: int) -> Known | None:
    """Return what is known of somebody by the number of their row; None: there is none."""
    return unless_changed(key, lambda: _asked(key))


def unless_changed(about: object, ask: Callable[[], T]) -> T:
    """Return what was asked last about it, asked again where one of these rows changed."""
    if connection.in_atomic_block:
        return ask()  # what is not yet written for good is nobody else's
    key, newest = (str(connection.settings_dict["NAME"]), about), _newest[0]
    found = _kept.get(key)
    if found is not None and found[0] == newest:
        value: T = found[1]
        return value
    fresh = ask()
    if len(_kept) >= _KEPT_AT_MOST:
        _kept.clear()
    _kept[key] = (newest, fresh)
    return fresh


def _asked(key: int) -> Known | None:
    staff = Staff.objects.filter(pk=key).first()
    if staff is None:
        return None
    roles = SignOff.objects.filter(staff=staff).values_list("role", "until")
    glass = Glass.objects.filter(staff=staff).values_list("reason", "ends_at")
    return Known(staff, tuple(roles), tuple(glass))


def _note(execute: Callable[..., Any], sql: str, params: Any, *rest: Any) -> Any:
    """Run a statement; where it changes a row for good, nothing that was kept counts."""
    answer = execute(sql, params, *rest)
    if not sql.startswith("SELECT") and any(table in sql for table in _TABLES):
        transaction.on_commit(_is_changed, using=connection.alias)
    return answer


def _is_changed() -> None:
    _newest[0] = next(_changes)


def _watch(connection: BaseDatabaseWrapper, **_: object) -> None:
    if _note not in connection.execute_wrappers:
        connection.execute_wrappers.append(_note)


connection_created.connect(_watch)
