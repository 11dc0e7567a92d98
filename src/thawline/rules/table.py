"""What every table of a rule file has in common."""

from msgspec import Struct


class Table(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A table of the file; unknown keys are refused."""
