"""The one site that this process serves, opened once; its acts are written in groups."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from django.conf import settings

from thawline.adapters import sites
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.writer import GroupWriter
from thawline.adapters.remembered import RememberingLedger
from thawline.adapters.wiring import open_site
from thawline.app.ports import Site


@cache
def _served(folder: Path) -> tuple[Site, sites.Settings]:
    site = open_site(folder.parent.parent, folder.name)
    if not isinstance(site.ledger, DbLedger):
        raise TypeError("a site is served from its own ledger")
    ledger = RememberingLedger(GroupWriter(site.ledger))
    return replace(site, ledger=ledger), sites.read_settings(folder)


def folder() -> Path:
    """Return the folder of the site that is served."""
    found: Path | None = settings.SITE_FOLDER
    if found is None:
        raise RuntimeError("no site is served: THAWLINE_SITE is not set")
    return found


_changed: dict[Path, sites.Settings] = {}
"""Settings that were changed at Set-up since the server was started."""


def here() -> Site:
    """Return the site that is served."""
    site, now = _served(folder())[0], _changed.get(folder())
    if now is None:
        return site
    return replace(site, units=now.units, calls=now.calls, night=now.night)


def read_again() -> None:
    """Take up what Set-up has written into the site's settings, for every page from now on."""
    _changed[folder()] = sites.read_settings(folder())


def title() -> str:
    """Return the site's name as people say it."""
    return settings_here().title


def settings_here() -> sites.Settings:
    """Return what `site.toml` says, as it was read at the start or last changed at Set-up."""
    return _changed.get(folder()) or _served(folder())[1]
