"""What the station modules register, read in one place: no name stands for two things."""

from collections.abc import Callable, Iterable, Mapping
from importlib import import_module
from typing import TypeVar

Entry = TypeVar("Entry")


def registered(
    stations: Iterable[str], kind: str, called: Callable[[Entry], str]
) -> Mapping[str, Entry]:
    """
    Return every entry of the stations' tuples of a kind, as `ACTS`, by what it is called.

    Raises:
        ValueError: Two are called the same.
    """
    found: dict[str, Entry] = {}
    for station in stations:
        entries: tuple[Entry, ...] = getattr(
            import_module(f"thawline.web.stations.{station}"), kind
        )
        for entry in entries:
            if called(entry) in found:
                raise ValueError(f"two of {kind} are called {called(entry)}")
            found[called(entry)] = entry
    return found
