"""
No-show shares by group, from a small table with a group column and a share column.

A share is written as 0.08, as 0,08 or as 8 %; a bare 8 is not taken for 8 %.
"""

import re
from collections.abc import Sequence
from decimal import Decimal

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.tables import Cell, Row, Table

_GROUP = frozenset(("group", "grupo", "priority group", "category", "categoria", "colectivo"))
_SHARE = frozenset(
    ("no show", "noshow", "no shows", "share", "no show share", "ausencias", "inasistencia")
)
_WRITTEN = re.compile(r"(\d{1,3}(?:[.,]\d{1,6})?)\s?(%?)", re.ASCII)
_PERCENT = 100


def recognises(cells: Sequence[Cell]) -> int:
    """Return how many of the two columns a row names."""
    words = {folded(cell) for cell in cells}
    return bool(words & _GROUP) + bool(words & _SHARE)


def read_shares(table: Table) -> dict[str, float]:
    """
    Return the share of each group.

    Raises:
        ExchangeError: A column is missing, a share is none, or a group stands there twice.
    """
    if not table.rows or recognises(table.rows[0].cells) != len(("group", "share")):
        raise ExchangeError(
            "the first line does not name a group and a no-show column",
            advice="write group,no_show as the first line",
        )
    words = [folded(cell) for cell in table.rows[0].cells]
    group_at = next(i for i, word in enumerate(words) if word in _GROUP)
    share_at = next(i for i, word in enumerate(words) if word in _SHARE)
    shares: dict[str, float] = {}
    for row in table.rows[1:]:
        group = str(_at(row, group_at))
        if group in shares:
            raise ExchangeError(f"line {row.line}: group {group!r} for the second time")
        shares[group] = _share(row, _at(row, share_at))
    return shares


def _at(row: Row, column: int) -> Cell:
    return row.cells[column] if column < len(row.cells) else ""


def _share(row: Row, cell: Cell) -> float:
    match = _WRITTEN.fullmatch(f"{cell:f}" if isinstance(cell, Decimal) else str(cell))
    if match is None:
        raise ExchangeError(
            f"line {row.line}: not a share: {str(cell)!r}",
            advice="write 0.08, 0,08 or 8 %",
        )
    number = Decimal(match[1].replace(",", "."))
    share = float(number / _PERCENT if match[2] else number)
    if share > 1:
        raise ExchangeError(
            f"line {row.line}: a share of more than everybody: {str(cell)!r}",
            advice="write 0.08, 0,08 or 8 %",
        )
    return share
