"""The worked example of docs/background/missing-dose.md: a Tuesday with one dose missing."""

from datetime import UTC, datetime, timedelta

from msgspec.structs import replace
from tests.account.ledger_entries import balances, entry

from thawline.account.balance import vial_sheets
from thawline.account.clues import Clue, clues
from thawline.account.searching import Gap, Record, Search, VialSheets
from thawline.base.instants import Instant, instant
from thawline.ledger import events as ev
from thawline.ledger.entries import Entry

LOT = "ZZ-1041"
NOON = instant(datetime(2026, 2, 3, 18, tzinfo=UTC))  # in Chicago
MISSING = Gap("syringe:HK47M-07", LOT, 1)
VIAL_SHORT = Gap("vial:HK47M", LOT, 1, counted=2, book=3)


def then(event: ev.Event, hour: int, minute: int, station: str = "draw table") -> Entry:
    """An entry of that Tuesday at a Chicago time from noon on."""
    at = Instant(NOON + timedelta(hours=hour - 12, minutes=minute))
    return replace(entry(event, at), station=station)


ARRIVED = then(ev.VialsArrived(vials=("HK47M",), lot=LOT, expiry="2026-08", doses=10), 12, 0)
DRAWN = then(ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-07",)), 13, 58)


def checked(
    person: str,
    syringe: str | None,
    at: str,
    station: str,
    *,
    vial: str | None = None,
    may: bool = True,
) -> Entry:
    check = ev.DoseChecked(person=person, syringe=syringe, vial=vial, may=may)
    hour, minute = at.split(":")
    return then(check, int(hour), int(minute), station)


WITH_IT = checked("DEMO-000412", "HK47M-07", "14:02", "chair 3")
WITHOUT = checked("DEMO-000420", None, "14:05", "chair 5")
WASTE = then(ev.DoseWasted(place="vial:HK47M", lot=LOT, doses=1, cause="spilled"), 14, 40)


def gave(person: str, hour: int, minute: int, lot: str | None = LOT, source: str | None = None):
    given = ev.DoseGiven(person=person, dose_number=1, lot=lot, doses_from=source)
    return then(given, hour, minute, "chair 5")


def traces(*entries: Entry, gap: Gap = MISSING, others: tuple[Entry, ...] = ()) -> list[Clue]:
    states = balances([ARRIVED, DRAWN, *others, *entries])
    search = Search(
        gap=gap,
        record=Record([ARRIVED, DRAWN, *others, *entries]),
        vials=VialSheets(vial_sheets(states)),
        open_syringes=frozenset(
            key.partition("|")[0].partition(":")[2]
            for key, state in states.items()
            if key.startswith("syringe:") and state.doses > 0
        ),
        within=timedelta(minutes=10),
    )
    return list(clues(search))
