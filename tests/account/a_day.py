"""A made-up day and a half at one site: two lots, three vials, one dose across midnight."""

from datetime import UTC, datetime

from tests.account.ledger_entries import balances, entry

from thawline.base.instants import Instant, instant
from thawline.ledger import events as ev

LOT = "ZZ-1041"
OTHER = "ZZ-1107"
TUESDAY, WEDNESDAY = "2026-02-03", "2026-02-04"


def at(day: int, hour: int, minute: int = 0) -> Instant:
    """February 2026 in UTC; Chicago is six hours behind."""
    return instant(datetime(2026, 2, day, hour, minute, tzinfo=UTC))


def given(code: str, lot: str = LOT, person: str = "DEMO-000001") -> ev.DoseGiven:
    return ev.DoseGiven(
        person=person, dose_number=1, lot=lot, syringe=code, doses_from=f"syringe:{code}"
    )


def drawn(vial: str, *numbers: int, extra: int = 0, lot: str = LOT) -> ev.DoseDrawn:
    codes = tuple(f"{vial}-{number:02d}" for number in numbers)
    return ev.DoseDrawn(vial=vial, lot=lot, syringes=codes, extra=extra)


SHIPPED = ev.ShipmentArrived(
    lot=LOT, expiry="2026-08", unit="freezer", vials=5, doses_per_vial=4
)
CODED = ev.VialMoved(
    vials=("HK47M", "CM62T"),
    to="fridge",
    lot=LOT,
    expiry="2026-08",
    from_unit="freezer",
    doses=4,
)
FROM_ODDMOOR = ev.VialsArrived(
    vials=("RA93P",), lot=OTHER, expiry="2026-05", doses=4, from_site="oddmoor"
)
ENTRIES = [
    entry(SHIPPED, at(3, 14)),
    entry(CODED, at(3, 15)),
    entry(FROM_ODDMOOR, at(3, 15)),
    entry(drawn("HK47M", 1, 2, 3, 4, 5, extra=1), at(3, 16)),
    entry(given("HK47M-01"), at(3, 17)),
    entry(given("HK47M-02"), at(3, 18)),
    entry(given("HK47M-03"), at(3, 19)),
    entry(
        ev.DoseWasted(place="syringe:HK47M-04", lot=LOT, doses=1, cause="spilled"), at(3, 19)
    ),
    entry(ev.DoseWasted(place="stock:freezer", lot=LOT, doses=4, cause="broken"), at(3, 20)),
    entry(ev.DoseGiven(person="DEMO-000009", dose_number=1, lot=LOT), at(3, 21)),
    entry(
        ev.VialSent(
            vials=("CM62T",), lot=LOT, doses=(4,), to_site="quillbeck", by_mode="vehicle"
        ),
        at(3, 22),
    ),
    entry(given("HK47M-05"), at(4, 14)),
    entry(drawn("RA93P", 1, lot=OTHER), at(4, 15)),
    entry(given("RA93P-01", OTHER), at(4, 16)),
    entry(
        ev.DoseNotFound(place="vial:RA93P", lot=OTHER, doses=1, why="", second="hazel"),
        at(4, 17),
    ),
    entry(ev.VialDiscarded(vial="RA93P", lot=OTHER, doses=2, cause="leftover"), at(4, 18)),
]
BALANCES = balances(ENTRIES)
