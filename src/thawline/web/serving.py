"""How a site is served: one worker process with threads, TLS, on the site's own network."""

import os
from dataclasses import dataclass
from pathlib import Path

from granian import Granian
from granian.constants import Interfaces

THREADS = 32
"""More than are worked on at a time (`shedding.AT_ONCE`), so that the rest are answered."""


@dataclass(frozen=True, slots=True)
class Where:
    """The address to listen at, and the certificate with its key."""

    host: str
    port: int
    certificate: Path
    key: Path


def prepare(folder: Path, hosts: str) -> None:
    """Name the site to Django and bring `ops.db` to its newest form."""
    os.environ["THAWLINE_SITE"] = str(folder.resolve())
    os.environ["THAWLINE_HOSTS"] = hosts
    os.environ["DJANGO_SETTINGS_MODULE"] = "thawline.web.settings"
    import django  # noqa: PLC0415  it reads the settings named above
    from django.core.management import call_command  # noqa: PLC0415

    django.setup()
    call_command("migrate", verbosity=0)


def serve(where: Where) -> None:
    """Serve until somebody stops it."""
    Granian(
        target="thawline.web.wsgi:application",
        address=where.host,
        port=where.port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        ssl_cert=where.certificate,
        ssl_key=where.key,
        log_access=False,
    ).serve()
