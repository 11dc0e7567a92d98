"""
One thing that is wrong with a dose, apart from what to do about it.

Before the needle the answer is to set it aside; after it, to tell and to report.
"""

from dataclasses import dataclass

from thawline.base.findings import Finding, Level

_GIVEN = "It was given: tell the person and the clinical lead, and report it."


@dataclass(frozen=True, slots=True)
class Breach:
    """What is wrong, and what to do about it while nothing was given."""

    level: Level
    code: str
    fact: str
    advice: str = ""
    item: str | None = None

    def before(self) -> Finding:
        """Return the finding before the needle."""
        return Finding(self.level, self.code, f"{self.fact} {self.advice}".strip(), self.item)

    def after(self) -> Finding:
        """Return the finding once the dose was given; a check asks for nothing then."""
        advice = "" if self.level is Level.CHECK else _GIVEN
        return Finding(self.level, self.code, f"{self.fact} {advice}".strip(), self.item)
