"""
Which things an event speaks of: vials, syringes, people, lots, cartons, the site itself.

An entry may be undone while nothing later speaks of the same things. After that the later
entries were made on its account, and it is corrected instead.
"""

from collections.abc import Callable, Iterator

from msgspec.structs import asdict

from thawline.ledger.alert_events import AlertAnswered, AlertCleared, AlertRaised
from thawline.ledger.events import (
    DayClosed,
    Event,
    LotHeld,
    LotReleased,
    ShipmentArrived,
    UnitWarmed,
    VialHeld,
    VialMoved,
    VialReleased,
)

_ONE = {"vial": "vial", "syringe": "syringe", "person": "person"}
_MANY = {"vials": "vial", "syringes": "syringe", "people": "person"}
_ACCOUNTS = ("place", "doses_from")


def things(event: Event) -> frozenset[str]:
    """Return what the event speaks of, as "vial HK47M" or "person DEMO-000001"."""
    own = _OWN.get(type(event), _nothing)
    return frozenset([*_named(event), *own(event)])


def _named(event: Event) -> Iterator[str]:
    fields = asdict(event)
    for name, kind in _ONE.items():
        if fields.get(name):
            yield f"{kind} {fields[name]}"
    for name, kind in _MANY.items():
        held = fields.get(name)
        if isinstance(held, tuple):  # a shipment counts its vials, it does not name them
            yield from (f"{kind} {code}" for code in held)
    for name in _ACCOUNTS:
        if fields.get(name):
            yield str(fields[name]).replace(":", " ", 1)


def _nothing(_event: Event) -> Iterator[str]:
    return iter(())


def _lot(event: LotHeld | LotReleased) -> Iterator[str]:
    yield f"lot {event.lot}"


def _carton_filled(event: ShipmentArrived) -> Iterator[str]:
    yield f"carton {event.unit} {event.lot}"


def _carton_opened(event: VialMoved) -> Iterator[str]:
    if event.from_unit is not None:
        yield f"carton {event.from_unit} {event.lot}"


def _alert(event: AlertRaised | AlertCleared | AlertAnswered) -> Iterator[str]:
    yield f"alert {event.unit}"


def _cartons_warmed(event: UnitWarmed) -> Iterator[str]:
    yield from (f"carton {event.unit} {lot}" for lot in event.lots)


def _cartons_named(event: VialHeld | VialReleased) -> Iterator[str]:
    yield from (f"carton {carton.replace('|', ' ')}" for carton in event.cartons)


def _day(event: DayClosed) -> Iterator[str]:
    yield f"day {event.day}"


_OWN: dict[type[Event], Callable[..., Iterator[str]]] = {
    AlertAnswered: _alert,
    AlertCleared: _alert,
    AlertRaised: _alert,
    DayClosed: _day,
    LotHeld: _lot,
    LotReleased: _lot,
    ShipmentArrived: _carton_filled,
    UnitWarmed: _cartons_warmed,
    VialHeld: _cartons_named,
    VialMoved: _carton_opened,
    VialReleased: _cartons_named,
}
