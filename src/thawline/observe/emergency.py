"""
The emergency card: what to do, the dose of the kit in hand, and when the next one may be given.

The card needs no name and no weight. The dose by weight is a calculator for licensed people.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from zoneinfo import ZoneInfo

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, Occurred
from thawline.rules.chair import Again, Anaphylaxis
from thawline.rules.slips import shown

GIVEN = "given"
STAMPS = (GIVEN, "called", "crew", "down", "up")
"""What can be stamped: epinephrine given, call made, crew here, a person down, up again."""

CAUTIONS = (
    "Standing orders and licensed practice decide; this card reminds.",
    "Treat first. Names and records later.",
)
HUNDREDTHS = Decimal("0.01")  # a syringe of 1 mL is marked in hundredths: common practice


@dataclass(frozen=True, slots=True)
class Window:
    """From when the next dose may be given, and by when it is due if it is needed."""

    opens: Instant
    closes: Instant
    item: str


def next_dose(given: Occurred, again: Again, zone: ZoneInfo) -> Window:
    """Return the window after a dose; of an uncertain time it opens by the later bound."""
    opens = again.not_before.end(given.hi, zone)
    closes = again.not_after.end(given.lo, zone)
    return Window(opens, max(opens, closes), again.item)


def dose_for(weight_kg: Decimal, card: Anaphylaxis) -> Decimal:
    """
    Return the milligrams for a weight in kilograms, never above the cap, never rounded up.

    Raises:
        RecordError: It is no weight of a person.
    """
    if not weight_kg.is_finite() or weight_kg <= 0:
        raise RecordError(
            f"a weight of {weight_kg} kg", advice="write it in kilograms, or use the adult dose"
        )
    by_weight = card.by_weight
    whole = min(weight_kg * by_weight.mg_per_kg, by_weight.most_mg)
    return whole.quantize(HUNDREDTHS, ROUND_DOWN)


def millilitres(mg: Decimal, card: Anaphylaxis) -> Decimal:
    """Return the volume of a dose at the concentration of the kit."""
    return (mg / card.drug.mg_per_ml).quantize(HUNDREDTHS, ROUND_DOWN)


def card_lines(card: Anaphylaxis) -> Sequence[tuple[str, str]]:
    """Return the card line by line, each with its protocol item; empty for a caution."""
    drug, adult = card.drug, card.adult
    volume, strength = shown(millilitres(adult.mg, card)), shown(drug.mg_per_ml)
    dose = f"Adult dose: {shown(adult.mg)} mg = {volume} mL of {strength} mg/mL."
    steps = [(step.says.en, step.item) for step in card.steps.values()]
    first, rest = steps[:1], steps[1:]
    return [
        *first,
        (f"{drug.says.en}.", drug.item),
        (dose, adult.item),
        (_again(card.again), card.again.item),
        *rest,
        *((caution, "") for caution in CAUTIONS),
    ]


def _again(again: Again) -> str:
    least, most = (
        _minutes(length.longest().total_seconds())
        for length in (again.not_before, again.not_after)
    )
    return f"Not better: again after {least} to {most} min. Stamp each dose."


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:g}"
