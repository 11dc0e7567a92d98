"""
The movable present of a rehearsal day: a site of invented data may live at another time.

The distance from the machine's clock is kept in the site's folder, so that every process of the
site agrees. A live site has none: its folder is never asked for one.
"""

import json
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache
from math import ceil
from pathlib import Path

from thawline.adapters import sites
from thawline.adapters.time import now as machine_now
from thawline.app.ports import Now
from thawline.base.errors import RecordError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant

_FILE = "rehearsal.json"
_KEY = "ahead_s"


@dataclass(frozen=True, slots=True)
class RehearsalClock:
    """The present of a site of invented data."""

    folder: Path
    machine: Now = machine_now

    def now(self) -> Instant:
        """Return the present: the machine's, moved by what the folder says."""
        return Instant(self.machine() + timedelta(seconds=self.ahead_s()))

    def ahead_s(self) -> int:
        """
        Return by how many seconds the present is moved; 0 where nobody moved it.

        Raises:
            RecordError: The file is not what it should be.
        """
        path = _file_in(self.folder)
        try:
            seen = path.stat()
        except FileNotFoundError:
            return 0
        except OSError as error:
            raise _unreadable() from error
        return _ahead_in(path, (seen.st_ino, seen.st_mtime_ns, seen.st_size))


@lru_cache(maxsize=16)
def _file_in(folder: Path) -> Path:
    """Return where a site's distance is kept; asked for at every look at the clock."""
    return folder / _FILE


@lru_cache(maxsize=16)
def _ahead_in(path: Path, _written: tuple[int, ...]) -> int:
    """Return what a file says; read once for each time that it was written."""
    try:
        ahead = json.loads(path.read_text())[_KEY]
    except FileNotFoundError:
        return 0
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise _unreadable() from error
    if type(ahead) is not int:
        raise _unreadable()
    return ahead


def is_moved(folder: Path) -> bool:
    """Say whether a site's present is moved at this moment."""
    return (folder / _FILE).exists()


def move(folder: Path, to: Instant, machine: Now = machine_now) -> None:
    """
    Move a site's present; it goes on from there at the machine's pace.

    Raises:
        RefusedError: The site is a live one.
    """
    _refuse_live(folder)
    ahead = ceil((to - machine()).total_seconds())  # never before what was asked
    fresh = (folder / _FILE).with_suffix(".new")
    fresh.write_text(json.dumps({_KEY: ahead}))
    fresh.replace(folder / _FILE)


def end(folder: Path) -> None:
    """Let a site's present be the machine's again."""
    (folder / _FILE).unlink(missing_ok=True)


def _refuse_live(folder: Path) -> None:
    if not sites.read_settings(folder).demo:
        says = f"{folder.name} is a live site: its present cannot be moved"
        raise RefusedError(
            [Finding(Level.STOP, "live-site", says)],
            advice="rehearse in a site made with thawline site new NAME --demo",
        )


def _unreadable() -> RecordError:
    return RecordError(f"{_FILE} cannot be read", advice="remove it to return to the present")
