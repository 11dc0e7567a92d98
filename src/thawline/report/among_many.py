"""
Comparing many lots or sites at once, when chance has had many tries.

The false discovery rate of Benjamini and Hochberg: of those named, the share that is named
by chance stays below the level on average. And what may be shared: small counts are left out,
and so is one more where the sum would give a single one away.
Source: Benjamini and Hochberg, Journal of the Royal Statistical Society B 57 (1995) 289-300,
as implemented and quoted by SciPy.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.stats import false_discovery_control

from thawline.base.errors import RecordError

SMALL = 5  # counts below this are not shared: common practice in public health
_TWO = 2


def adjusted(p_values: Sequence[float]) -> tuple[float, ...]:
    """
    Return the p-values adjusted for how many there are, in their order.

    Raises:
        RecordError: One of them is no chance.
    """
    for p in p_values:
        if not 0 <= p <= 1:
            raise RecordError(f"not a p-value: {p}", advice="between 0 and 1")
    if not p_values:
        return ()
    return tuple(float(p) for p in false_discovery_control(np.asarray(p_values), method="bh"))


def shareable(counts: Mapping[str, int], smallest: int = SMALL) -> dict[str, int | None]:
    """
    Return the counts that may leave the site; None for those that may not.

    Counts from 1 up to below `smallest` are left out. Where just one is left out, or every one
    that is left out is 1, the next smallest count goes too, or the sum would tell them.
    """
    hidden = {name for name, count in counts.items() if 0 < count < smallest}
    others = sorted((count, name) for name, count in counts.items() if name not in hidden)
    is_told_by_sum = len(hidden) < _TWO or sum(counts[name] for name in hidden) == len(hidden)
    if hidden and others and is_told_by_sum:
        nonzero = [name for count, name in others if count] or [others[0][1]]
        hidden.add(nonzero[0])
    return {name: None if name in hidden else count for name, count in counts.items()}
