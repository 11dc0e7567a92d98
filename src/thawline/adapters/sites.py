"""
The folder of a site: `sites/<name>/` with `site.toml`, the ledger, protocols and keys.

A plain folder that can be copied. Demo and live never share one: the folder says which it is.
"""

import re
import shutil
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from thawline.adapters.desk_tables import read_desk, read_second_places
from thawline.adapters.unit_tables import keep_unit, quoted, read_units
from thawline.adapters.watch_tables import keep_watch, read_calls, read_hours
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import zone_named
from thawline.plan.capacity import SecondPlaces
from thawline.store.calls import Called
from thawline.store.nights import Hours
from thawline.store.units import StorageUnit

SITES = "sites"
SETTINGS = "site.toml"
PROTOCOLS = "protocols"
KEYS = "keys"
BACKUPS = "backups"
_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Settings:
    """What `site.toml` says."""

    name: str
    title: str
    zone: str
    demo: bool = False
    tables: dict[str, Any] = field(default_factory=dict)
    units: tuple[StorageUnit, ...] = ()
    calls: tuple[Called, ...] = ()
    night: Hours | None = None
    refuses_without: frozenset[str] = frozenset()
    second_places: SecondPlaces | None = None


def names(home: Path) -> list[str]:
    """Return the names of the sites in a home folder."""
    return sorted(path.parent.name for path in (home / SITES).glob(f"*/{SETTINGS}"))


def folder_of(home: Path, name: str | None) -> Path:
    """
    Return the folder of a site, or of the only one there is.

    Raises:
        NotFoundError: There is none, or several and none was named.
    """
    known = names(home)
    if name is None and len(known) == 1:
        return home / SITES / known[0]
    if name is None and not known:
        raise NotFoundError("there is no site here yet", advice="thawline site new NAME")
    if name is None:
        raise NotFoundError(
            f"which site: there are {len(known)} here",
            advice=f"add --site, one of {', '.join(known)}",
        )
    if name not in known:
        near = get_close_matches(name, known, 1)
        advice = f"did you mean {near[0]}?" if near else f"thawline site new {name}"
        raise NotFoundError(f"no site {name!r} here", advice=advice)
    return home / SITES / name


def read_settings(folder: Path) -> Settings:
    """
    Return what a site's folder says of it.

    Raises:
        RecordError: `site.toml` is not what it should be.
    """
    path = folder / SETTINGS
    try:
        tables = tomllib.loads(path.read_text(), parse_float=Decimal)
    except (OSError, ValueError) as error:
        raise RecordError(f"{SETTINGS} of {folder.name} cannot be read: {error}") from error
    site = tables.get("site", {})
    if not isinstance(site, dict):
        raise RecordError(f"{SETTINGS} of {folder.name} has no [site] table")
    zone = str(site.get("zone", ""))
    zone_named(zone)
    return Settings(
        name=folder.name,
        title=str(site.get("title", folder.name)),
        zone=zone,
        demo=bool(site.get("demo")),
        tables=tables,
        units=read_units(tables, f"{SETTINGS} of {folder.name}"),
        calls=read_calls(tables, f"{SETTINGS} of {folder.name}"),
        night=read_hours(tables, f"{SETTINGS} of {folder.name}"),
        refuses_without=read_desk(tables, f"{SETTINGS} of {folder.name}"),
        second_places=read_second_places(tables, f"{SETTINGS} of {folder.name}"),
    )


def put_unit(folder: Path, unit: StorageUnit) -> None:
    """
    Write a storage unit into a site's settings, in place of one of that name.

    Raises:
        RecordError: The settings cannot be read.
    """
    read_settings(folder)
    keep_unit(folder / SETTINGS, unit)


def put_watch(folder: Path, calls: Sequence[Called], night: Hours | None) -> None:
    """
    Write whom to call, and when nobody is there, into a site's settings.

    Raises:
        RecordError: The settings cannot be read.
    """
    read_settings(folder)
    keep_watch(folder / SETTINGS, calls, night)


def make_folder(home: Path, settings: Settings) -> Path:
    """
    Make the folder of a new site with its settings; the ledger is made by the caller.

    Raises:
        RecordError: The name has another form or is taken, or the folder cannot be written.
    """
    _check(settings)
    folder = home / SITES / settings.name
    if folder.exists():
        raise RecordError(
            f"site {settings.name} is there already", advice="choose another name"
        )
    try:
        _lay_out(folder, settings)
    except OSError as error:
        shutil.rmtree(folder, ignore_errors=True)
        raise RecordError(
            f"cannot make {folder}: {error.strerror}",
            advice="name a folder that can be written, with --home or THAWLINE_HOME",
        ) from error
    return folder


def _check(settings: Settings) -> None:
    if not _NAME.fullmatch(settings.name):
        raise RecordError(
            f"not a name for a site: {settings.name!r}",
            advice="small letters, digits and hyphens, as in harrowmint",
        )
    if not settings.title.isprintable():
        raise RecordError(f"not a title: {settings.title!r}", advice="write it on one line")
    zone_named(settings.zone)


def _lay_out(folder: Path, settings: Settings) -> None:
    for part in (PROTOCOLS, BACKUPS):
        (folder / part).mkdir(parents=True)
    (folder / KEYS).mkdir(mode=0o700)
    title = quoted(settings.title)
    (folder / SETTINGS).write_text(
        f'[site]\ntitle = "{title}"\nzone = "{settings.zone}"\n'
        f"demo = {str(settings.demo).lower()}\n"
    )
