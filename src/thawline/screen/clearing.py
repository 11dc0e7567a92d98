"""
What is left of a referral once the clinical lead has decided it: to give, with the longer stay.

A referral only. Whatever else speaks against the dose today stands: a contraindication, an
age, a wait that is not over.
"""

from collections.abc import Iterable

from thawline.base.findings import Finding, Level
from thawline.rules.questions import Outcome

CLEARED = Outcome.GIVE_30


def cleared(outcome: Outcome, reasons: Iterable[tuple[str, Outcome]]) -> tuple[Finding, ...]:
    """
    Return why a screening cannot be cleared; empty where it can.

    Args:
        outcome: What the screening came to.
        reasons: The item of each reason, and what it leads to by itself.
    """
    if outcome is not Outcome.REFER:
        says = f"Only a referral can be cleared; the screening came to {outcome.value}."
        return (Finding(Level.STOP, "not-a-referral", says),)
    return tuple(
        Finding(
            Level.STOP,
            "more-than-a-referral",
            f"{item} leads to {leads_to.value} by itself, and that is not cleared.",
            item,
        )
        for item, leads_to in reasons
        if not leads_to.gives and leads_to is not Outcome.REFER
    )
