"""Which things an event speaks of; the vials and lots are those of the demo."""

import pytest

from thawline.ledger import events as ev
from thawline.ledger.alert_events import AlertCleared
from thawline.ledger.second_dose_events import SecondDosesAssigned
from thawline.ledger.things import things

COMMON = {"lot": "ZZ-1041", "expiry": "2026-08"}


@pytest.mark.parametrize(
    ("event", "spoken"),
    [
        (
            ev.VialMoved(vials=("HK47M", "CM62T"), to="fridge", from_unit="f1", **COMMON),
            {"vial HK47M", "vial CM62T", "carton f1 ZZ-1041"},
        ),
        (ev.VialMoved(vials=("HK47M",), to="table", **COMMON), {"vial HK47M"}),
        (
            ev.ShipmentArrived(unit="f1", vials=96, doses_per_vial=10, **COMMON),
            {"carton f1 ZZ-1041"},
        ),
        (ev.VialPunctured(vial="HK47M"), {"vial HK47M"}),
        (
            SecondDosesAssigned(people=("DEMO-000001", "DEMO-000002"), slots_ms=(1, 2)),
            {"person DEMO-000001", "person DEMO-000002"},
        ),
        (
            ev.DoseDrawn(vial="HK47M", lot="ZZ-1041", syringes=("HK47M-01", "HK47M-02")),
            {"vial HK47M", "syringe HK47M-01", "syringe HK47M-02"},
        ),
        (
            ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=None, syringe="HK47M-01",
                         doses_from="syringe:HK47M-01"),
            {"person DEMO-000001", "syringe HK47M-01"},
        ),
        (
            ev.DoseGiven(person="DEMO-000001", dose_number=1, lot=None, vial="HK47M"),
            {"person DEMO-000001", "vial HK47M"},
        ),
        (
            ev.DoseWasted(place="vial:HK47M", lot="ZZ-1041", doses=2, cause="use-by"),
            {"vial HK47M"},
        ),
        (
            ev.DoseWasted(place="stock:shelf:2", lot="ZZ-1041", doses=2, cause="use-by"),
            {"stock shelf:2"},
        ),
        (ev.LotHeld(lot="ZZ-1041", why="recall"), {"lot ZZ-1041"}),
        (ev.LotReleased(lot="ZZ-1041", why="cleared", second="Bryony"), {"lot ZZ-1041"}),
        (ev.DoseChecked(person="DEMO-000001", syringe=None, vial=None, may=True),
         {"person DEMO-000001"}),
        (ev.DayClosed(day="2026-02-03", second="Bryony", received=0, given=0, wasted=0,
                      missing=0, left=0, head=""), {"day 2026-02-03"}),
        (ev.Noted(says="quiet"), set()),
        (AlertCleared(unit="freezer-1", cause="above", since_ms=0), {"alert freezer-1"}),
        (ev.UnitWarmed(unit="f1", vials=("HK47M",), lots=("ZZ-1041",)),
         {"vial HK47M", "carton f1 ZZ-1041"}),
        (ev.VialHeld(vials=("HK47M",), why="warm", cartons=("f1|ZZ-1041",)),
         {"vial HK47M", "carton f1 ZZ-1041"}),
        (ev.VialReleased(vials=(), why="use", second="Bryony", cartons=("f1|ZZ-1041",)),
         {"carton f1 ZZ-1041"}),
        (ev.ReadingTaken(unit="table-1", temp_mc=25_600, vials=("HK47M",),
                         syringes=("HK47M-01",)), {"vial HK47M", "syringe HK47M-01"}),
        (ev.ExcursionCalled(unit="f1", called="Health Unit"), set()),
    ],
    ids=lambda value: type(value).__name__,
)  # fmt: skip
def test_what_an_event_speaks_of(event, spoken):
    assert things(event) == spoken
