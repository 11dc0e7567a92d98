"""What can be wrong with a rule file itself, each with its key and line."""

from dataclasses import dataclass

from thawline.base.errors import RuleError


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that makes a rule file unusable; `key` is dotted, as in clocks.open.allows."""

    code: str
    key: str
    says: str
    advice: str
    line: int | None = None

    def error(self) -> RuleError:
        """Return the fault as the refusal to read the file."""
        return RuleError(self.says, line=self.line, key=self.key, advice=self.advice)
