"""
The folder of the demo: made anew each time, and nothing else is ever deleted.

A folder is a demo's own when it carries the demo's mark, all its sites say that they are a
demo's, and nothing lies in it that a demo does not make. Every other folder is left alone.
"""

import shutil
from pathlib import Path

from thawline.adapters import sites
from thawline.base.errors import RecordError

MARK = "DEMO.txt"
BOOKINGS = "bookings-DEMO.csv"
LIBRARY_BOOKINGS = "bookings-oddmoor-DEMO.csv"
LAST_VIAL = "last-vial-DEMO.svg"
COLD_STORE = "cold-store-DEMO"
"""Where the demo's loggers write, and their pictures lie."""
PAPER = "paper-DEMO"
"""A home of its own for a day in March, which comes long after the day that is closed."""
_OURS = {MARK, BOOKINGS, LIBRARY_BOOKINGS, LAST_VIAL, COLD_STORE, PAPER, sites.SITES}
_SEED = "Seed: "
_SAYS = """DEMO

Everything in this folder is invented: the district, the people, the vaccine, the figures.
`thawline demo` makes it anew and deletes what is in it. Keep nothing of your own here.
"""


def make_anew(home: Path) -> None:
    """
    Empty the folder of an earlier demo, or make a new one, and mark it.

    Raises:
        RecordError: It holds something that is not a demo's.
    """
    if home.exists():
        _look(home)
        shutil.rmtree(home)
    home.mkdir(parents=True)
    (home / MARK).write_text(_SAYS)


def note_seed(home: Path, seed: int) -> None:
    """Write down where everything random of this demo began."""
    with (home / MARK).open("a") as file:
        file.write(f"{_SEED}{seed}\n")


def seed_of(home: Path) -> int:
    """
    Return where everything random of a demo began.

    Raises:
        RecordError: The folder is no demo's, or does not say it.
    """
    try:
        lines = (home / MARK).read_text().splitlines()
        return int(next(line for line in lines if line.startswith(_SEED))[len(_SEED) :])
    except (OSError, StopIteration, ValueError) as error:
        raise RecordError(
            f"{MARK} does not say where this demo began", advice="make it anew: thawline demo"
        ) from error


def _look(home: Path) -> None:
    """Raise unless everything in the folder was made by a demo."""
    if home.is_symlink() or not home.is_dir():
        raise _not_ours(home, "it is no folder of its own")
    inside = {path.name for path in home.iterdir()}
    if not inside:
        return
    if MARK not in inside:
        raise _not_ours(home, f"it has no {MARK}")
    if others := sorted(inside - _OURS):
        raise _not_ours(home, f"{others[0]!r} lies in it")
    for folder in sorted((home / sites.SITES).glob("*")):
        if not (folder / sites.SETTINGS).exists() or not sites.read_settings(folder).demo:
            raise _not_ours(home, f"site {folder.name!r} is not a demo's")


def _not_ours(home: Path, why: str) -> RecordError:
    return RecordError(
        f"{str(home)!r} is not a demo's folder: {why}; nothing was deleted",
        advice="thawline demo --home build/demo",
    )
