"""The dose in hand and who gets it, as the shared options of `thawline dose` say it."""

from dataclasses import dataclass

from cyclopts import Parameter

from thawline.app.in_hand import Needle
from thawline.base.errors import RecordError, UnsaidError


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Hand:
    """
    The dose in hand and who gets it.

    Parameters
    ----------
    person
        The person's code, from the booking or the card.
    syringe
        The syringe's code.
    vial
        The vial's code, when the dose is drawn and given at the chair.
    dose
        Which dose it is, 1 or 2; by the record if left out.
    screened_by
        Who asked the screening questions.
    screening
        Their outcome: give, give-15, give-30, refer, not-today, not-given, contraindicated.
    lot
        The lot meant to be used at this table.
    """

    person: str
    syringe: str | None = None
    vial: str | None = None
    dose: int | None = None
    screened_by: str | None = None
    screening: str | None = None
    lot: str | None = None


OUTCOMES = ("give", "give-15", "give-30", "refer", "not-today", "not-given", "contraindicated")


def needle_of(
    hand: Hand, *, arm: str | None = None, route: str = "IM", volume_ul: int | None = None
) -> Needle:
    """
    Return what is said about a dose, for the checks.

    Raises:
        RecordError: The outcome is none of the known ones.
        UnsaidError: A screening is named, and nobody who asked.
    """
    if hand.screening is not None and hand.screening not in OUTCOMES:
        raise RecordError(
            f"not a screening outcome: {hand.screening!r}",
            advice="use one of " + ", ".join(OUTCOMES),
        )
    if hand.screening is not None and not hand.screened_by:
        raise UnsaidError("the screening names nobody", advice="add --screened-by NAME")
    return Needle(
        person=hand.person.strip(),
        syringe=hand.syringe and hand.syringe.strip().upper(),
        vial=hand.vial and hand.vial.strip().upper(),
        dose_number=hand.dose,
        screened_by=hand.screened_by,
        screening=hand.screening,
        lots=(hand.lot,) if hand.lot else (),
        arm=arm,
        route=route,
        volume_ul=volume_ul,
    )
