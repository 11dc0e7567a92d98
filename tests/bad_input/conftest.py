"""The same clinic as for the commands."""

from tests.cli.conftest import clinic, harrowmint

__all__ = ["clinic", "harrowmint"]
