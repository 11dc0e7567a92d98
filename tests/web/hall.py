"""
A served site on disk, a clock that the test moves, and people who work there; all invented.

Harrowmint on Tuesday 3 February 2026, under the made-up Example-10 in version 2.
"""

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

from django.test import Client
from tests.cast import ROWAN, at

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.time import now as machine_now
from thawline.adapters.wiring import open_site
from thawline.app.acts import Doing
from thawline.base.instants import Instant, exactly
from thawline.base.roles import Role
from thawline.web import here
from thawline.web.staff import clock, codes
from thawline.web.staff.models import SignOff, Staff

PASSPHRASE = "four grey geese go home"  # noqa: S105  invented
FAR = date(2027, 1, 1)


class Hall:
    """The site as the server sees it, and browsers without a screen."""

    def __init__(self, home: Path, monkeypatch) -> None:
        self.folder = home / sites.SITES / "harrowmint"
        self._wall = at("12:00")
        site = open_site(home, "harrowmint", now=lambda: self._wall)
        self.site = replace(site, demo=False)
        told = (self.site, sites.read_settings(self.folder))
        monkeypatch.setattr(here, "_served", lambda _folder: told)
        monkeypatch.setattr(here, "_changed", {})

    def clock(self, wall: str, day: int = 3, month: int = 2) -> None:
        """Move the site's clock."""
        self._wall = at(wall, day, month)

    def doing(self, by: str = ROWAN, wall: str | None = None, **more) -> Doing:
        """Return who does what when, for use cases that set a test up."""
        when = at(wall) if wall else self._wall
        return Doing(by, exactly(when), self._wall, uuid4(), **more)

    def employ(self, name: str, *roles: Role, until: date = FAR) -> Staff:
        """Let somebody work here, signed off for roles."""
        person, is_new = Staff.objects.get_or_create(name=name, defaults={"badge": f"B-{name}"})
        if is_new:
            person.set_password(PASSPHRASE)
            person.save()
        for role in roles:
            SignOff.objects.update_or_create(
                staff=person, role=role.value, defaults={"until": until, "by": "the trainer"}
            )
        return person

    def browser(self, name: str | None = None, *roles: Role, station: str = "") -> Client:
        """Return a browser, with somebody logged in where a name is given."""
        client = Client(SERVER_NAME="localhost", enforce_csrf_checks=False)
        client.defaults["wsgi.url_scheme"] = "https"
        if name is not None:
            self.employ(name, *roles)
            sent = {"name": name, "passphrase": PASSPHRASE, "station": station}
            answer = client.post("/door", sent, secure=True)
            assert answer.status_code == 302, text(answer)
        return client

    def give_pin(self, name: str, pin: str) -> None:
        """Let somebody have a PIN."""
        FilePins(self.folder / sites.KEYS).put(name, pin)

    def wall(self, monkeypatch, **later: float) -> None:
        """Let the machine's clock, by which screens lock, be so much later: minutes=2."""
        monkeypatch.setattr(clock, "now", lambda: Instant(machine_now() + timedelta(**later)))

    def tablet(self, name: str = "tablet 1", station: str = "table-1") -> Client:
        """Return a browser on a tablet that was enrolled by its code."""
        opened = codes.Opened(codes.TABLET, name, station, "the test")
        code = codes.hand_out(uuid4(), opened)
        client = self.browser()
        answer = client.post("/enrol", {"code": code}, secure=True)
        assert answer.status_code == 302, text(answer)
        return client

    def come_in(self, client: Client, name: str, **how):
        """Try the door as somebody: with `pin` or `passphrase`, or a badge alone."""
        return client.post("/door", {"name": name, **how}, secure=True)

    def get(self, client: Client, path: str, **more):
        """Ask for a page."""
        return client.get(path, secure=True, **more)

    def press(self, client: Client, act: str, **fields):
        """Press as a form of a page does; returns the page that comes after."""
        return client.post(f"/act/{act}", fields, secure=True, follow=True)

    def send(self, client: Client, act: str, form: dict, **more):
        """Press as a tablet does; returns its answer."""
        body = {"id": str(uuid4()), "elapsed_ms": 0, "form": form, **more}
        return client.post(
            f"/api/act/{act}", body, content_type="application/json", secure=True
        )

    def client_post(self, client: Client, path: str, body: dict):
        """Send what a tablet sends beside its acts; returns the answer."""
        return client.post(path, body, content_type="application/json", secure=True)

    def entries(self) -> list:
        """Return the ledger, as written."""
        with self.site.ledger.view() as view:
            return list(view.entries())


def text(answer) -> str:
    """Return what a person reads of a page."""
    plain = re.sub(r"<(script|style).*?</\1>|<[^>]+>", " ", answer.content.decode())
    return re.sub(r"\s+", " ", plain).strip()
