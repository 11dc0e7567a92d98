"""
How many syringes may lie drawn and not yet given at one table, as the protocol limits it.

Vaccine keeps better in the vial than in a syringe; what is drawn ahead is wasted when the
people do not come. See docs/background/doses-in-a-vial.md.
"""

from thawline.base.findings import Finding, Level
from thawline.rules.protocol import Predrawn


def predrawn_findings(
    drawn: int, doses_per_vial: int, rule: Predrawn | None
) -> tuple[Finding, ...]:
    """Return a check when more syringes lie drawn than the rule allows; nothing without one."""
    if rule is None:
        return ()
    most = max(rule.most_vials * doses_per_vial, rule.most_doses)
    if drawn <= most:
        return ()
    return (
        Finding(
            Level.CHECK,
            "drawn-ahead",
            f"{drawn} syringes drawn and not given, at most {most}. "
            "Draw no more until some are given.",
            rule.item,
        ),
    )
