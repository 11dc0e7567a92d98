"""How a site is served: one worker process with threads, TLS, on the site's own network."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from multiprocessing import set_start_method
from pathlib import Path
from typing import TYPE_CHECKING

from granian import Granian
from granian.constants import Interfaces, SSLProtocols
from granian.log import LogLevels

if TYPE_CHECKING:
    from thawline.web.staff.crew_of_demo import Shown

THREADS = 32
"""More than work or wait at a time (see `web.shedding`), so that the rest are answered."""


@dataclass(frozen=True, slots=True)
class Where:
    """The address to listen at, and the certificate with its key."""

    host: str
    port: int
    certificate: Path
    key: Path


@dataclass(frozen=True, slots=True)
class WaysIn:
    """How people come in: the demo's crew and its passphrase, or a code for the first."""

    crew: Sequence["Shown"] = ()
    passphrase: str = ""
    code: str = ""


def prepare(folder: Path, hosts: str) -> None:
    """Name the site to Django and bring `ops.db` to its newest form."""
    os.environ["THAWLINE_SITE"] = str(folder.resolve())
    os.environ["THAWLINE_HOSTS"] = hosts
    os.environ["DJANGO_SETTINGS_MODULE"] = "thawline.web.settings"
    import django  # noqa: PLC0415  it reads the settings named above
    from django.core.management import call_command  # noqa: PLC0415

    django.setup()
    (folder / "ops.db").touch(mode=0o600)
    call_command("migrate", verbosity=0)


def ways_in(folder: Path, today: date, *, demo: bool) -> WaysIn:
    """Return how people come in on a day; `prepare` was called before."""
    from django.db import connections  # noqa: PLC0415  after the settings

    from thawline.adapters.randomness import mint_with  # noqa: PLC0415
    from thawline.adapters.time import now  # noqa: PLC0415
    from thawline.web.staff import codes, crew_of_demo  # noqa: PLC0415
    from thawline.web.staff.models import Staff  # noqa: PLC0415

    try:
        if demo:
            return WaysIn(crew_of_demo.let_in(folder, today), crew_of_demo.PASSPHRASE)
        if Staff.objects.exists():
            return WaysIn()
        opened = codes.Opened(codes.FIRST, "", "", "the first start")
        return WaysIn(code=codes.hand_out(mint_with(now)(), opened))
    finally:
        connections.close_all()  # the worker is a process of its own and opens its own


def serve(where: Where) -> None:
    """
    Serve until somebody stops it.

    The worker is begun afresh, not copied from this process: what has read the ledger may not
    be copied. Source: SQLite, "How To Corrupt An SQLite Database File", section 2.7.
    """
    set_start_method("spawn", force=True)
    Granian(
        target="thawline.web.wsgi:application",
        address=where.host,
        port=where.port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        ssl_cert=where.certificate,
        ssl_key=where.key,
        ssl_protocol_min=SSLProtocols.tls12,
        log_access=False,
        log_level=LogLevels.error,
    ).serve()
