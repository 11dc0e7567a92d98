"""
Where compiled code is kept from one process to the next: apart for each state of its sources.

Numba keeps a compiled function for as long as the file that it stands in stays as it is, also
where a function of another file that is compiled into it has changed since. An update would
then go on with figures of the old code. So what is kept goes by all these files together.
"""

import os
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

PACKAGE = Path(__file__).parents[1]
_SOURCES = (
    "base/compiled.py",
    "plan/random_words.py",
    "plan/quantile_tables.py",
    "plan/*_kernel.py",
    "exchange/loggers/plain_*.py",
)
_WHERE = "NUMBA_CACHE_DIR"  # Numba's own setting, read when it is imported
_SHOWN = 16  # digits of the hash: short paths, and no two alike by chance


def keep_apart() -> None:
    """Set where Numba keeps compiled code, for this process and those that it starts."""
    name = f"compiled-{state_of(PACKAGE)}"
    wanted = os.environ.get(_WHERE)
    if wanted and Path(wanted).name == name:
        return
    for folder in [*([Path(wanted)] if wanted else []), *_usual()]:
        if _may_be_kept_in(folder):
            os.environ[_WHERE] = str(folder / name)
            return


def sources(package: Path) -> list[Path]:
    """Return the files with compiled functions, and those whose constants go into them."""
    return sorted(path for pattern in _SOURCES for path in package.glob(pattern))


def state_of(package: Path) -> str:
    """Return what tells one state of these files from another."""
    whole = sha256()
    for path in sources(package):
        whole.update(sha256(path.read_bytes()).digest())
    return whole.hexdigest()[:_SHOWN]


def _usual() -> Iterator[Path]:
    """Yield the folders in which compiled code may be kept, the best one first."""
    yield PACKAGE / "__pycache__"
    named = os.environ.get("XDG_CACHE_HOME")
    try:
        yield (Path(named) if named else Path.home() / ".cache") / "thawline"
    except RuntimeError:  # the user has no home: nothing is kept, every command goes on
        return


def _may_be_kept_in(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return False
    return os.access(folder, os.W_OK)
