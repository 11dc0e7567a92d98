"""
Which doses an event moves, from one account to another: double entry, so the sum is zero.

Accounts: `outside` and `outside:<site>` (where doses come from, below zero by nature),
`stock:<unit>`, `vial:<code>`, `syringe:<code>`, `given`, `wasted:<cause>`, `missing`,
`transit` (sent to another site) and `extra` (below zero by each dose that the book did not
hold). Decision 0030 says why these.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from thawline.base.errors import RecordError
from thawline.ledger import events as ev

OUTSIDE = "outside"
STOCK = "stock"
VIAL = "vial"
SYRINGE = "syringe"
GIVEN = "given"
WASTED = "wasted"
MISSING = "missing"
EXTRA = "extra"
TRANSIT = "transit"
LOT_NOT_KNOWN = "?"


class Posting(NamedTuple):
    """Doses of one lot that came to an account, or left it when below zero."""

    account: str
    lot: str
    doses: int


class Transfer(NamedTuple):
    """Doses of one lot that went from one account to another."""

    source: str
    target: str
    lot: str
    doses: int


def stock(unit: str) -> str:
    """Return the account of the sealed cartons in a storage unit."""
    return f"{STOCK}:{unit}"


def vial(code: str) -> str:
    """Return the account of a vial."""
    return f"{VIAL}:{code}"


def syringe(code: str) -> str:
    """Return the account of a drawn syringe."""
    return f"{SYRINGE}:{code}"


def wasted(cause: str) -> str:
    """Return the account of doses wasted for a cause."""
    return f"{WASTED}:{cause}"


def outside(site: str | None) -> str:
    """Return the account that doses come from: the supplier's, or another site's."""
    return OUTSIDE if site is None else f"{OUTSIDE}:{site}"


def postings(event: ev.Event) -> tuple[Posting, ...]:
    """
    Return what the event adds to and takes from each account; the doses add up to zero.

    One posting an account and lot. Events that move no doses return nothing.

    Raises:
        RecordError: The event counts doses below zero, or names an account with a "|".
    """
    sums: dict[tuple[str, str], int] = {}
    for moved in transfers(event):
        for account, doses in ((moved.source, -moved.doses), (moved.target, moved.doses)):
            sums[account, moved.lot] = sums.get((account, moved.lot), 0) + doses
    return tuple(
        Posting(account, lot, doses) for (account, lot), doses in sums.items() if doses
    )


def transfers(event: ev.Event) -> tuple[Transfer, ...]:
    """
    Return the doses the event moves, one transfer for each pair of accounts.

    Raises:
        RecordError: As `postings`.
    """
    moves = _MOVES.get(type(event))
    if moves is None:
        return ()
    return tuple(moved for moved in map(_checked, moves(event)) if moved.doses)


def _checked(moved: Transfer) -> Transfer:
    if moved.doses < 0:
        raise RecordError(
            f"doses below zero: {moved.doses} from {moved.source} to {moved.target}",
            advice="count doses from 0 up; correct the wrong entry instead of reversing it",
        )
    for account in (moved.source, moved.target):
        if "|" in account:
            raise RecordError(
                f"account with a | in its name: {account!r}", advice="use another name"
            )
    return moved


def _shipment_arrived(event: ev.ShipmentArrived) -> Iterable[Transfer]:
    doses = event.vials * event.doses_per_vial
    return [Transfer(OUTSIDE, stock(event.unit), event.lot, doses)]


def _vials_arrived(event: ev.VialsArrived) -> Iterable[Transfer]:
    source = outside(event.from_site)
    return [Transfer(source, vial(code), event.lot, event.doses) for code in event.vials]


def _syringes_arrived(event: ev.SyringesArrived) -> Iterable[Transfer]:
    return [Transfer(OUTSIDE, syringe(code), event.lot, 1) for code in event.syringes]


def _vial_moved(event: ev.VialMoved) -> Iterable[Transfer]:
    if event.from_unit is None:
        return []
    carton = stock(event.from_unit)
    return [Transfer(carton, vial(code), event.lot, event.doses) for code in event.vials]


def _dose_drawn(event: ev.DoseDrawn) -> Iterable[Transfer]:
    """The last of the syringes are the extra ones: the book held enough for the first."""
    in_book = len(event.syringes) - event.extra
    if event.extra < 0 or in_book < 0:
        raise RecordError(
            f"extra doses that cannot be: {event.extra} of {len(event.syringes)} drawn from "
            f"{event.vial}",
            advice="count only the syringes drawn beyond what the book held",
        )
    sources = [vial(event.vial)] * in_book + [EXTRA] * event.extra
    return [
        Transfer(source, syringe(code), event.lot, 1)
        for source, code in zip(sources, event.syringes, strict=True)
    ]


def _dose_given(event: ev.DoseGiven) -> Iterable[Transfer]:
    """A dose whose account or lot is not known never was in the book: it comes from extra."""
    if event.doses_from is None or event.lot is None:
        return [Transfer(EXTRA, GIVEN, event.lot or LOT_NOT_KNOWN, 1)]
    return [Transfer(event.doses_from, GIVEN, event.lot, 1)]


def _dose_wasted(event: ev.DoseWasted) -> Iterable[Transfer]:
    return [Transfer(event.place, wasted(event.cause), event.lot, event.doses)]


def _vial_discarded(event: ev.VialDiscarded) -> Iterable[Transfer]:
    return [Transfer(vial(event.vial), wasted(event.cause), event.lot, event.doses)]


def _vial_sent(event: ev.VialSent) -> Iterable[Transfer]:
    if len(event.vials) != len(event.doses):
        raise RecordError(
            f"{len(event.vials)} vials sent with doses for {len(event.doses)}",
            advice="give the doses in each vial, in the vials' order",
        )
    return [
        Transfer(vial(code), TRANSIT, event.lot, doses)
        for code, doses in zip(event.vials, event.doses, strict=True)
    ]


def _dose_not_found(event: ev.DoseNotFound) -> Iterable[Transfer]:
    return [Transfer(event.place, MISSING, event.lot, event.doses)]


_MOVES: dict[type[ev.Event], Callable[..., Iterable[Transfer]]] = {
    ev.ShipmentArrived: _shipment_arrived,
    ev.VialsArrived: _vials_arrived,
    ev.SyringesArrived: _syringes_arrived,
    ev.VialMoved: _vial_moved,
    ev.DoseDrawn: _dose_drawn,
    ev.DoseGiven: _dose_given,
    ev.DoseWasted: _dose_wasted,
    ev.VialDiscarded: _vial_discarded,
    ev.VialSent: _vial_sent,
    ev.DoseNotFound: _dose_not_found,
}
MOVE_DOSES: frozenset[type[ev.Event]] = frozenset(_MOVES)
"""The kinds of event that can move doses at all."""
