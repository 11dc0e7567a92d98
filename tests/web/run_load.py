"""
The load of a large site on its laptop: 60 tablets, two requests a second each, 30 % acts.

    python -m tests.web.run_load [seconds] [requests a second]

Each tablet asks on its own clock, whether or not the last answer came: a time is measured from
when the request was due, so that waiting in a line counts. The server is the real one, with TLS
and `synchronous=FULL`, in a process of its own on the same machine. Afterwards every receipt is
looked for in the ledger. Seed 28; the machine's own fdatasync is measured beside it.
"""

import http.client
import json
import os
import random
import ssl
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from re import search
from urllib.parse import urlencode
from uuid import UUID, uuid4

from tests.web.served import PASSPHRASE, SEED, Served, build_hall, make_certificate

from thawline.adapters.wiring import open_site
from thawline.app import vials
from thawline.app.acts import Doing
from thawline.app.ports import Site
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import Instant, exactly
from thawline.base.roles import Role
from thawline.demo.staff import at_work
from thawline.receive.inspection import Arrival

TABLETS = 60
THAW = timedelta(hours=2)
WRITES = 0.3
READS = ("/draw-table", "/vials", "/api/state")
PREPARER = at_work(SEED, "harrowmint", Role.PREPARER)[0]


@dataclass
class Seen:
    """What one tablet saw: seconds from due to answer by kind, statuses, receipts."""

    reads: list[float] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    statuses: Counter[int] = field(default_factory=Counter)
    receipts: list[str] = field(default_factory=list)


class Tablet(threading.Thread):
    """One tablet at a draw table."""

    def __init__(self, served: Served, number: int, codes: list[str], rate: float) -> None:
        super().__init__(daemon=True)
        self.seen = Seen()
        self._served, self._number = served, number
        self._doses = [code for code in codes for _ in range(10)]
        self._every = TABLETS / rate
        self._dice = random.Random(SEED * 1000 + number)  # noqa: S311  a load, no secret
        self._due = self._until = 0.0
        self._names = at_work(SEED, "harrowmint", Role.PREPARER)
        self._name = self._names[number % len(self._names)]
        self._tags: dict[str, str] = {}
        context = ssl.create_default_context()
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
        self._line = http.client.HTTPSConnection("localhost", served.port, context=context)
        self._cookies: dict[str, str] = {}
        self._token = ""
        self._log_in()

    def begin(self, start: float, until: float) -> None:
        """Ask from then until then, each tablet at its own part of the turn."""
        self._due, self._until = start + self._number * self._every / TABLETS, until
        self.start()

    def run(self) -> None:
        """Ask until the time is over."""
        while self._due < self._until:
            time.sleep(max(0.0, self._due - time.monotonic()))
            writes = self._dice.random() < WRITES and bool(self._doses)
            status = self._act() if writes else self._look()
            taken = time.monotonic() - self._due
            (self.seen.writes if writes else self.seen.reads).append(taken)
            self.seen.statuses[status] += 1
            self._due += self._every

    def _look(self) -> int:
        path = self._dice.choice(READS)
        tag = self._tags.get(path)
        status, headers, _ = self._ask(
            "GET", path, headers={"If-None-Match": tag} if tag else {}
        )
        self._tags[path] = headers.get("ETag", "")
        return status

    def _act(self) -> int:
        body = {
            "id": str(uuid4()),
            "elapsed_ms": 0,
            "station": "table-1",
            "form": {"vial": self._doses.pop()},
        }
        status, _, answer = self._ask("POST", "/api/act/draw-dose", json.dumps(body), _JSON)
        if status == 200:
            self.seen.receipts.append(json.loads(answer)["id"])
        return status

    def _log_in(self) -> None:
        _, _, page = self._ask("GET", "/door")
        self._token = self._token_of(page)
        form = {
            "name": self._name,
            "passphrase": PASSPHRASE,
            "csrfmiddlewaretoken": self._token,
        }
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        status, _, _ = self._ask("POST", "/door", urlencode(form), kind)
        assert status == 302, f"{self._name} is not let in: {status}"
        _, _, page = self._ask("GET", "/draw-table")
        self._token = self._token_of(page)

    @staticmethod
    def _token_of(page: bytes) -> str:
        found = search(rb'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        assert found, "no form on the page"
        return found[1].decode()

    def _ask(self, verb, path, body=None, headers=None):
        told = {
            "Cookie": "; ".join(f"{name}={value}" for name, value in self._cookies.items()),
            "X-CSRFToken": self._token,
            "Referer": self._served.address + "/",
            **(headers or {}),
        }
        for _ in range(2):  # a line that the server closed meanwhile is opened again
            try:
                self._line.request(verb, path, body, told)
                answer = self._line.getresponse()
                content = answer.read()
                break
            except (OSError, http.client.HTTPException):
                self._line.close()
        else:
            return 0, {}, b""
        for line in answer.headers.get_all("Set-Cookie") or ():
            name, _, rest = line.partition("=")
            self._cookies[name] = rest.partition(";")[0]
        return answer.status, answer.headers, content


_JSON = {"Content-Type": "application/json"}


def open_many(site: Site, count: int) -> list[str]:
    """Receive, thaw and open so many vials, as facts of an invented afternoon."""
    label = Label("ZZ-9000", "2026-08")
    receive_frozen(site, _doing(site), label, "freezer-1", Arrival(count, count, None))
    thawed = _doing(site, THAW)
    moved = vials.take_out(site, thawed, label.lot, "freezer-1", count, "table").event
    codes = list(moved.vials)
    for code in codes:
        vials.open_vial(site, _doing(site), code)
    return codes


def _doing(site: Site, ago: timedelta = timedelta()) -> Doing:
    """Return somebody's fact of a moment ago."""
    now = site.now()
    then = exactly(Instant(now - ago))
    return Doing(PREPARER, then, now, site.mint(), station="table-1", happened=True)


def fdatasync_ms(folder: Path) -> list[float]:
    """Return how long the machine's own fdatasync takes, 200 times, in milliseconds."""
    found = []
    with (folder / "sync").open("wb") as file:
        for _ in range(200):
            file.write(b"x" * 4096)
            file.flush()
            start = time.perf_counter()
            os.fdatasync(file.fileno())
            found.append((time.perf_counter() - start) * 1000)
    return sorted(found)


def share(found: list[float], at: float) -> float:
    """Return the value that so large a share of them does not exceed, in milliseconds."""
    found = sorted(found)
    return found[min(len(found) - 1, int(at * len(found)))] * 1000


def main(seconds: float = 60, rate: float = 120) -> int:
    """Play the load and print what was seen; returns 0 where every bound is kept."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        build_hall(home)
        site = open_site(home, "harrowmint")
        codes = open_many(site, int(seconds * rate * WRITES / 10) + TABLETS)
        served = Served(home, make_certificate(Path(folder)))
        served.start()
        try:
            seen = _play(served, codes, seconds, rate)
        finally:
            served.kill()
        return _told(seen, open_site(home, "harrowmint"), fdatasync_ms(Path(folder)), seconds)


def _play(served: Served, codes: list[str], seconds: float, rate: float) -> list[Seen]:
    tablets = [Tablet(served, n, codes[n::TABLETS], rate) for n in range(TABLETS)]
    start = time.monotonic() + 2
    for tablet in tablets:
        tablet.begin(start, start + seconds)
    for tablet in tablets:
        tablet.join()
    return [tablet.seen for tablet in tablets]


def _told(seen: list[Seen], site: Site, syncs: list[float], seconds: float) -> int:
    reads, writes = ([t for each in seen for t in getattr(each, kind)] for kind in KINDS)
    statuses = sum((each.statuses for each in seen), Counter())
    receipts = [receipt for each in seen for receipt in each.receipts]
    with site.ledger.view() as view:
        lost = sum(view.entry(UUID(receipt)) is None for receipt in receipts)
        twice = len(receipts) - len(set(receipts))
    print(f"{(len(reads) + len(writes)) / seconds:.0f} requests/s for {seconds:g} s, ", end="")
    print(f"{TABLETS} tablets, seed {SEED}; answers {dict(sorted(statuses.items()))}")
    for name, times in zip(KINDS, (reads, writes), strict=True):
        parts = ", ".join(f"{says} {share(times, at):.1f}" for says, at in SHARES)
        print(f"{name}: {len(times)}; {parts} ms")
    print(f"fdatasync here: median {syncs[len(syncs) // 2]:.2f} ms, 99 % {syncs[197]:.2f} ms")
    print(f"{len(receipts)} receipts: {lost} lost, {twice} doubled")
    return int(lost or twice or 0)


KINDS = ("reads", "writes")
SHARES = (("median", 0.5), ("95 %", 0.95), ("99 %", 0.99), ("longest", 1.0))

if __name__ == "__main__":
    sys.exit(main(*map(float, sys.argv[1:])))
