"""Which readings of a site's units are known here."""

from thawline.adapters import sites
from thawline.adapters.seen_readings import FileSeen
from thawline.app.following import SeenReadings
from thawline.app.ports import Site
from thawline.cli.surroundings import home


def seen_at(site: Site) -> SeenReadings:
    """Return the readings of a site's units."""
    return FileSeen(sites.folder_of(home(), site.name))
