"""The emergency card, the technique and the table of errors in plain sentences."""

from collections.abc import Iterator

from thawline.rules.protocol import Protocol
from thawline.rules.sentence import Sentence
from thawline.rules.slips import in_words, shown


def at_the_chair(protocol: Protocol) -> Iterator[Sentence]:
    """Yield a sentence for each line of the technique, the errors and the emergency card."""
    for step in protocol.technique.values():
        yield Sentence(step.item, f"{step.says.en.rstrip('.')}.", step.source)
    for row in protocol.deviations:
        again = f" Repeat: {row.repeat.value}." if row.repeat else ""
        yield Sentence(row.item, f"After {row.what.value}: {row.says.en}{again}", row.source)
    yield from _emergency(protocol)


def _emergency(protocol: Protocol) -> Iterator[Sentence]:
    card = protocol.anaphylaxis
    if card is None:
        return
    drug, weight, again = card.drug, card.by_weight, card.again
    yield Sentence(
        drug.item, f"{drug.says.en}, {shown(drug.mg_per_ml)} mg in a mL.", drug.source
    )
    yield Sentence(card.adult.item, f"Adult dose {shown(card.adult.mg)} mg.", card.adult.source)
    says = f"By weight {shown(weight.mg_per_kg)} mg/kg, at most {shown(weight.most_mg)} mg."
    yield Sentence(weight.item, says, weight.source)
    says = f"Again after {in_words(again.not_before)} to {in_words(again.not_after)}."
    yield Sentence(again.item, says, again.source)
    says = f"At least {card.kit.least_doses} doses present and unexpired, or a pause."
    yield Sentence(card.kit.item, says, card.kit.source)
    for step in card.steps.values():
        yield Sentence(step.item, step.says.en, step.source)
