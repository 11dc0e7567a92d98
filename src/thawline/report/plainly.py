"""What exact figures say in one plain sentence, without more certainty than they have."""

from thawline.report.intervals import Against
from thawline.report.two_groups import Compared

FEW = "too few doses to tell apart from chance"
USUAL_ALPHA = 0.05
"""The level of a one-sided p-value where nobody asks for another; common practice."""


def against_words(found: Against) -> str:
    """Return what a count beside the expected number says."""
    told = (
        f"{found.seen} seen, {found.expected:.3g} expected: {found.ratio:.3g} times as many "
        f"({found.lower:.3g} to {found.upper:.3g})"
    )
    if found.is_above:
        return f"{told}; more than chance explains"
    if found.is_below:
        return f"{told}; fewer than expected: are all of them recorded?"
    return f"{told}; {FEW}"


def compared_words(found: Compared, alpha: float) -> str:
    """Return what a group beside the rest says at a level alpha of its one-sided p-value."""
    if found.p_one_sided is None:
        return f"nobody had it: {FEW}"
    if found.rate_ratio is None:
        told = f"at least {found.lower:.3g} times the rate of the rest, which has no case"
    else:
        upper = "no upper end" if found.upper is None else f"{found.upper:.3g}"
        told = (
            f"{found.rate_ratio:.3g} times the rate of the rest ({found.lower:.3g} to {upper})"
        )
    if found.p_one_sided < alpha:
        return f"{told}; by chance alone {100 * found.p_one_sided:.2g} in 100: look at it"
    return f"{told}; {FEW}"
