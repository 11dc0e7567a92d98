"""
A ledger of a million entries, made quickly and only to be measured; everything is invented.

Vials go to the refrigerator and the table and are opened; each of their ten doses is drawn,
checked and given. Rows are put in without deciding, so that making them takes a minute.
"""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import apsw

from thawline.adapters.db import schema
from thawline.base.instants import Instant, exactly, read_instant
from thawline.ledger.chain import NOTHING, Row
from thawline.ledger.entries import Act, Decision, Kind
from thawline.ledger.events import (
    DoseChecked,
    DoseDrawn,
    DoseGiven,
    Event,
    ShipmentArrived,
    VialMoved,
    VialPunctured,
)
from thawline.ledger.receipts import receipt_bytes
from thawline.ledger.stored import header_of, next_row
from thawline.rules.protocol import ProtocolRef

SITE = UUID("01890a5d-ac96-774b-bcce-b302099a8057")
START = read_instant("2026-02-03T06:00:00-06:00")
RULES = ProtocolRef("example-10", 2, "ab" * 32)
DOSES = 10
VIALS_OF_A_LOT = 960


def events(count: int) -> Iterator[Event]:
    """Yield so many events."""
    made = 0
    while True:
        for event in _of_vial(made // 33):
            if made == count:
                return
            yield event
            made += 1


def make(folder: Path, count: int) -> None:
    """Make a ledger of so many entries in a folder; the states are not folded yet."""
    schema.create(folder, SITE)
    connection = apsw.Connection(str(folder / schema.LEDGER))
    connection.execute("PRAGMA synchronous = OFF")
    receipts = []
    with connection:
        connection.executemany(
            "INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?, ?)", _rows(count, receipts)
        )
        connection.executemany("INSERT INTO receipt VALUES (?, ?, ?, ?)", receipts)
    connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
    connection.close()


def act(number: int, at: Instant) -> Act:
    """Return an act of that number."""
    return Act(
        id=UUID(int=number),
        kind=Kind.FACT,
        by="pat",
        occurred=exactly(at),
        recorded_at=at,
        zone="America/Chicago",
        command={"number": number},
        device="tablet-2",
        station="draw-1",
    )


def _of_vial(number: int) -> Iterator[Event]:
    vial = f"V{number:06}"
    lot = f"ZZ-{number // VIALS_OF_A_LOT:04}"
    label = {"lot": lot, "expiry": "2026-08"}
    if number % VIALS_OF_A_LOT == 0:
        vials = VIALS_OF_A_LOT
        yield ShipmentArrived(unit="f1", vials=vials, doses_per_vial=DOSES, **label)
    yield VialMoved(vials=(vial,), to="fridge", from_unit="f1", doses=DOSES, **label)
    yield VialMoved(vials=(vial,), to="table", **label)
    yield VialPunctured(vial=vial)
    for dose in range(1, DOSES + 1):
        syringe, person = f"{vial}-{dose:02}", f"DEMO-{number * DOSES + dose:06}"
        yield DoseDrawn(vial=vial, lot=lot, syringes=(syringe,))
        yield DoseChecked(person=person, syringe=syringe, vial=None, may=True)
        yield DoseGiven(
            person=person,
            dose_number=1,
            lot=lot,
            syringe=syringe,
            doses_from=f"syringe:{syringe}",
            arm="left",
            given_by="pat",
        )


def _rows(count: int, receipts: list[tuple[object, ...]]) -> Iterator[tuple[object, ...]]:
    head = NOTHING
    asked = "cd" * 32
    for number, event in enumerate(events(count), 1):
        at = Instant(START + timedelta(seconds=number))
        row = next_row(SITE, head, act(number, at), Decision(event, (), RULES), asked)
        kept = receipt_bytes(row, header_of(row))
        receipts.append((row.id, row.seq, bytes.fromhex(asked), kept))
        head = row.head
        yield _values(row)


def _values(row: Row) -> tuple[object, ...]:
    return (
        *(row.seq, row.epoch, row.id, row.header),
        *(row.body, row.body_sha256, row.prev, row.hash),
    )
