"""
The load of a large site on its laptop, and four times as much.

    python -m tests.web.run_load [seconds] [requests a second] [file of the report]

60 tablets: 30 at ten draw tables, 26 at chairs, 4 of leads. Each asks on its own clock, whether
or not the last answer came: times count from when a request was due, so that waiting counts.
The server is the real one, with TLS and `synchronous=FULL`, in a process of its own on the same
machine. Afterwards every receipt is looked for in the ledger. Seed 28; the machine's own
fdatasync is measured beside it, between the two parts.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from queue import SimpleQueue
from uuid import UUID

from tests.web.load_report import Part, report
from tests.web.load_tablets import Line, Pace, Preparer, Tablet, Vaccinator
from tests.web.served import PASSPHRASE, SEED, Served, build_hall, make_certificate

from thawline.adapters.wiring import open_site
from thawline.app import vials
from thawline.app.acts import Doing
from thawline.app.ports import Site
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import Instant, exactly
from thawline.base.roles import Role
from thawline.person.fold import PERSON
from thawline.receive.inspection import Arrival

TABLES, PREPARERS, VACCINATORS, LEADS = 10, 30, 26, 4
TABLETS = PREPARERS + VACCINATORS + LEADS
PRESSES = 0.3
DOSES = 10
OVER = 4
THAW = timedelta(hours=2)
_EMPLOY = """
import datetime, sys
from pathlib import Path
from thawline.web.serving import prepare
prepare(Path(sys.argv[1]), "localhost,127.0.0.1")
from thawline.web.staff.models import SignOff, Staff
for each in sys.argv[3:]:
    name, role = each.split("=")
    person = Staff(name=name, badge=name)
    person.set_password(sys.argv[2])
    person.save()
    until = datetime.date(2030, 1, 1)
    SignOff.objects.create(staff=person, role=role, until=until, by="the trainer")
"""


@dataclass(frozen=True)
class Crew:
    """Who works at the tablets, by name."""

    preparers: list[str]
    vaccinators: list[str]
    leads: list[str]


def employ(folder: Path) -> Crew:
    """Let somebody of their own work at each tablet; all invented."""
    asked = (
        (Role.PREPARER, PREPARERS),
        (Role.VACCINATOR, VACCINATORS),
        (Role.SITE_LEAD, LEADS),
    )
    names = {
        role: [f"{role.value.capitalize()} of tablet {n}" for n in range(1, count + 1)]
        for role, count in asked
    }
    told = [f"{name}={role.value}" for role, all_of in names.items() for name in all_of]
    subprocess.run(  # noqa: S603  our own script
        [sys.executable, "-c", _EMPLOY, str(folder), PASSPHRASE, *told],
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    return Crew(*names.values())


def set_out(site: Site, count: int) -> list[str]:
    """Receive vials and thaw them on the ten tables, as facts of an invented afternoon."""
    label = Label("ZZ-9000", "2026-08")
    receive_frozen(site, _doing(site), label, "freezer-1", Arrival(count, count, None))
    found = []
    for table in range(TABLES):
        part = count // TABLES
        doing = _doing(site, THAW, f"table-{table + 1}")
        moved = vials.take_out(site, doing, label.lot, "freezer-1", part, "table").event
        found.append(list(moved.vials))
    return [code for row in zip(*found, strict=True) for code in row]


def _doing(site: Site, ago: timedelta = timedelta(), station: str = "") -> Doing:
    """Return somebody's fact of a while ago."""
    now = site.now()
    then = exactly(Instant(now - ago))
    return Doing("the load", then, now, site.mint(), station=station, happened=True)


def tablets(served: Served, crew: Crew, codes: list[str], site: Site) -> list[Tablet]:
    """Let everybody come in at their station."""
    drawn: SimpleQueue[str] = SimpleQueue()
    people: SimpleQueue[str] = SimpleQueue()
    with site.ledger.view() as view:
        everybody = dict(view.all(PERSON))
    waiting = [person for person, state in everybody.items() if not state.doses]
    for person in waiting or everybody:  # a load goes on when all of the hall have had a dose
        people.put(person)
    found: list[Tablet] = []
    for n, name in enumerate(crew.preparers):
        station, own = f"table-{n % TABLES + 1}", codes[n::PREPARERS]
        line = Line(served, name, station)
        found.append(Preparer(line, station, len(found), own, drawn, DOSES))
    for n, name in enumerate(crew.vaccinators, 1):
        line, station = Line(served, name, f"chair-{n}"), f"chair-{n}"
        found.append(Vaccinator(line, station, len(found), drawn, people))
    for name in crew.leads:
        line = Line(served, name, "")
        found.append(Tablet(line, "", ("/vials", "/close-out"), len(found)))
    return found


def fdatasync_ms(folder: Path) -> list[float]:
    """Return how long the machine's own fdatasync takes, 400 times, in milliseconds."""
    found = []
    with (folder / "sync").open("wb") as file:
        for _ in range(400):
            file.write(b"x" * 4096)
            file.flush()
            start = time.perf_counter()
            os.fdatasync(file.fileno())
            found.append((time.perf_counter() - start) * 1000)
    return sorted(found)


def processor_s(served: Served) -> float:
    """Return how long the server and its worker have kept a core busy, in seconds."""
    found = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            told = stat.read_text().rpartition(")")[2].split()
            if int(told[2]) == served.group:  # fields 5, 14 and 15 of proc(5)
                found += int(told[11]) + int(told[12])
    return found / os.sysconf("SC_CLK_TCK")


def play(
    served: Served, all_of: list[Tablet], seconds: float, rate: float
) -> tuple[float, float]:
    """Let every tablet ask for so long; return when all was answered, and the server's time."""
    before = processor_s(served)
    start = time.monotonic() + 1
    pressing = (PREPARERS + VACCINATORS) / TABLETS
    pace = Pace(rate, TABLETS, PRESSES / pressing)
    for tablet in all_of:
        tablet.begin(start, start + seconds, pace)
    for tablet in all_of:
        tablet.join()
    return time.monotonic() - start, processor_s(served) - before


def told(all_of: list[Tablet], site: Site, name: str, asked, took) -> Part:
    """Return what a part of the run has shown, with every receipt looked for."""
    seen = [each.seen for each in all_of]
    receipts = [receipt for each in seen for receipt in each.receipts]
    with site.ledger.view() as view:
        lost = sum(view.entry(UUID(receipt)) is None for receipt in receipts)
    times: dict[str, list[float]] = {}
    for each in seen:
        for kind, values in each.took.items():
            times.setdefault(kind, []).extend(values)
    return Part(
        name=name,
        seconds=asked[0],
        rate=asked[1],
        took=took[0],
        processor_s=took[1],
        times=times,
        statuses=sum((each.statuses for each in seen), Counter()),
        receipts=len(receipts),
        lost=lost,
        doubled=len(receipts) - len(set(receipts)),
        unsure=[what for each in seen for what in each.unsure],
    )


def main(seconds: float = 60, rate: float = 120, into: str = "") -> int:
    """Play both parts and write the report; returns 0 where all promised was kept."""
    over_s = min(30.0, seconds)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        build_hall(home)
        site = open_site(home, "harrowmint")
        crew = employ(home / "sites" / "harrowmint")
        enough = int((seconds + OVER * over_s) * rate * PRESSES / DOSES) + 2 * PREPARERS
        codes = set_out(site, enough // PREPARERS * PREPARERS)
        half = len(codes) * int(seconds) // int(seconds + OVER * over_s)
        half = half // PREPARERS * PREPARERS + PREPARERS
        served = Served(home, make_certificate(Path(folder)))
        served.start()
        try:
            mixed = tablets(served, crew, codes[:half], site)
            first = play(served, mixed, seconds, rate)
            syncs = fdatasync_ms(Path(folder))
            over = tablets(served, crew, codes[half:], site)
            second = play(served, over, over_s, OVER * rate)
        finally:
            served.kill()
        site = open_site(home, "harrowmint")
        parts = [
            told(mixed, site, "As asked", (seconds, rate), first)._replace(is_promised=True),
            told(over, site, "Overload", (over_s, OVER * rate), second),
        ]
    text = report(parts, syncs, (TABLETS, PREPARERS, VACCINATORS, LEADS, SEED))
    print(text)
    if into:
        Path(into).write_text(text)
    return int(any(each.has_failed for each in parts))


if __name__ == "__main__":
    typed = sys.argv[1:]
    sys.exit(main(*(float(each) for each in typed[:2]), *typed[2:]))
