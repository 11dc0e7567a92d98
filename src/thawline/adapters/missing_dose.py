"""Where the weights of a missing dose are read from: a table shipped with the package."""

from functools import cache
from importlib.resources import files

from thawline.account.clues import FINDERS
from thawline.account.traces import Weights, read_weights


@cache
def weights() -> Weights:
    """Return the shipped table of weights, one for each trace that is looked for."""
    return read_weights((files("thawline.account") / "missing-dose.toml").read_bytes(), FINDERS)
