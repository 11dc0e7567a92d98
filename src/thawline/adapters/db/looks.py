"""
Who looked at whose name or contact, and when: rows of `identity.db` that nothing takes away.

A row names the person by their code alone. They lie beside the names and apart from the ledger,
because reading is no act at the site. Source: HIPAA, 45 CFR 164.312(b), audit controls.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

import apsw

from thawline.adapters.db import connections
from thawline.adapters.db.identity import IDENTITY
from thawline.adapters.db.lock import held
from thawline.base.errors import BusyError, IndeterminateError
from thawline.base.instants import Instant, from_ms, to_ms

_WAIT_S = connections.WAIT_MS / 1000
_TABLE = """
CREATE TABLE IF NOT EXISTS look (
  seq INTEGER PRIMARY KEY,
  at_ms INTEGER NOT NULL,
  looker TEXT NOT NULL,
  device TEXT NOT NULL,
  screen TEXT NOT NULL,
  person TEXT NOT NULL
) STRICT;
CREATE INDEX IF NOT EXISTS look_at ON look (at_ms);
CREATE TRIGGER IF NOT EXISTS look_stays BEFORE UPDATE ON look
  BEGIN SELECT RAISE(ABORT, 'a look is never changed'); END;
CREATE TRIGGER IF NOT EXISTS look_is_kept BEFORE DELETE ON look
  BEGIN SELECT RAISE(ABORT, 'a look is never taken away'); END;
"""
_PUT = "INSERT INTO look (at_ms, looker, device, screen, person) VALUES (?, ?, ?, ?, ?)"
_NEWEST = """
SELECT at_ms, looker, device, screen, person FROM look
WHERE (? = '' OR person = ?) AND (? = '' OR looker = ?) ORDER BY seq DESC LIMIT ?
"""
_SEARCHES = """
SELECT looker, count(*) FROM look WHERE person = '' AND at_ms >= ?
GROUP BY looker HAVING count(*) >= ? ORDER BY looker
"""


@dataclass(frozen=True, slots=True)
class Look:
    """Somebody saw who a person is; without a person they searched for a name."""

    at: Instant
    by: str
    device: str
    screen: str
    person: str = ""


class DbLooks:
    """The looks at one site's names; safe to share between threads."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._one_at_a_time = Lock()
        self._connection = connections.writer(folder / IDENTITY)
        with self._one_at_a_time, held(folder, _WAIT_S):
            self._connection.execute(_TABLE)

    def note(self, looks: Sequence[Look]) -> None:
        """
        Keep looks; on disk when this returns.

        Raises:
            BusyError: Nothing was kept.
            IndeterminateError: It is not known whether they were kept.
        """
        rows = [(to_ms(one.at), one.by, one.device, one.screen, one.person) for one in looks]
        with self._one_at_a_time, held(self._folder, _WAIT_S):
            try:
                with self._connection:
                    self._connection.executemany(_PUT, rows)
            except (apsw.BusyError, apsw.FullError) as error:
                raise BusyError(
                    "who looks at names cannot be noted now, so no name is shown",
                    advice="try again in a moment",
                ) from error
            except apsw.Error as error:
                raise IndeterminateError(f"disk error: {error}") from error

    def newest(self, most: int, person: str = "", by: str = "") -> list[Look]:
        """Return the newest looks first, of all or of one person, by all or by one."""
        with self._one_at_a_time:
            rows: list[tuple[Any, ...]] = self._connection.execute(
                _NEWEST, (person, person, by, by, most)
            ).fetchall()
        return [Look(from_ms(at), *map(str, rest)) for at, *rest in rows]

    def searched_often(self, since: Instant, least: int) -> dict[str, int]:
        """Return who searched at least so many times since then, and how many times."""
        with self._one_at_a_time:
            found: list[tuple[Any, ...]] = self._connection.execute(
                _SEARCHES, (to_ms(since), least)
            ).fetchall()
        return {str(by): int(count) for by, count in found}

    def close(self) -> None:
        """Give back the file."""
        with self._one_at_a_time:
            self._connection.close()
