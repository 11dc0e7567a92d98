"""
Notes who looks at whose name: every name that a page asks for is asked for here.

A page that shows itself anew is one look for five minutes. What cannot be noted is not shown.
"""

from datetime import timedelta
from functools import cache
from pathlib import Path
from threading import Lock

from thawline.adapters.db.looks import DbLooks, Look
from thawline.app.asked_on import AskedPeople
from thawline.app.ports import Name, People
from thawline.base.instants import Instant
from thawline.person.likeness import Identity
from thawline.web.here import folder
from thawline.web.who import Who

ONE_LOOK = timedelta(minutes=5)
ROWS_AT_MOST = 20
SEARCHES_AN_HOUR = 60
_HOUR = timedelta(hours=1)
_KEPT_AT_MOST = 10_000
_Key = tuple[str, str, str, str]


@cache
def _looks_in(where: Path) -> DbLooks:
    return DbLooks(where)


def looks() -> DbLooks:
    """Return the looks of the site that is served."""
    return _looks_in(folder())


def searched_often(now: Instant) -> dict[str, int]:
    """Return who searched for names often in the last hour, and how many times."""
    return looks().searched_often(Instant(now - _HOUR), SEARCHES_AN_HOUR)


class NotedPeople(AskedPeople):
    """People's names, for somebody at a screen: what they see is noted by `write`."""

    def __init__(self, people: People, who: Who, screen: str, at: Instant) -> None:
        self._asked = people
        self._who, self._screen, self._at = who, screen, at
        self._seen: dict[str, None] = {}
        self._searches = 0

    @property
    def _people(self) -> People:
        return self._asked

    def get(self, person: str) -> Name | None:
        """Return the name, None when unknown or erased."""
        name = super().get(person)
        if name is not None:
            self._seen[person] = None
        return name

    def find(self, text: str, most: int = ROWS_AT_MOST) -> list[tuple[str, Name]]:
        """Return people whose name contains the text, twenty at most."""
        self._searches += 1
        return self._shown(super().find(text, min(most, ROWS_AT_MOST)))

    def may_be(self, said: Identity) -> list[tuple[str, Name]]:
        """Return everybody who may be of that name, by their codes."""
        self._searches += 1
        return self._shown(super().may_be(said))

    def _shown(self, found: list[tuple[str, Name]]) -> list[tuple[str, Name]]:
        self._seen.update(dict.fromkeys(person for person, _ in found))
        return found

    @property
    def has_shown(self) -> bool:
        """Say whether anybody's name was asked for, to be shown."""
        return bool(self._seen)

    def write(self) -> None:
        """Note what was seen, before the page goes out; raises as the adapter does."""
        fresh = [person for person in self._seen if self._is_new(person)]
        rows = [*[""] * self._searches, *fresh]
        if rows:
            looks().note([self._look(person) for person in rows])
            for person in fresh:
                _recent.add(self._key(person), self._at)

    def _look(self, person: str) -> Look:
        by = self._who.name if self._who.name and not self._who.locked else "not named"
        return Look(self._at, by, self._who.device, self._screen, person)

    def _key(self, person: str) -> _Key:
        return (str(folder()), f"{self._who.name} {self._who.device}", self._screen, person)

    def _is_new(self, person: str) -> bool:
        return not _recent.has(self._key(person), self._at)


class _Recent:
    """What was noted in the last minutes; emptied when it grows large."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._at: dict[_Key, Instant] = {}

    def has(self, key: _Key, now: Instant) -> bool:
        with self._lock:
            before = self._at.get(key)
        return before is not None and abs(now - before) < ONE_LOOK

    def add(self, key: _Key, now: Instant) -> None:
        with self._lock:
            if len(self._at) >= _KEPT_AT_MOST:
                self._at.clear()
            self._at[key] = now


_recent = _Recent()
