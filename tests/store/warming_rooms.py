"""Invented freezers and refrigerators that warm as the textbook says."""

import numpy as np

from thawline.store.readings import readings

BEGINS_MS = 1_770_000_000_000
MINUTE_MS = 60_000


def exactly_reached(ambient, begins, tau, limit):
    """Return the minutes after which a body is at the limit: the exact solution."""
    return tau * np.log((ambient - begins) / (ambient - limit))


def warmed(ambient, begins, tau, minutes, *, noise=0.0, step=0.1, seed=0):  # noqa: PLR0913
    """Return readings of a body that warms, noisy and rounded to steps of the display."""
    throws = np.random.default_rng(seed)
    true = ambient + (begins - ambient) * np.exp(-np.asarray(minutes) / tau)
    shown = np.round((true + throws.normal(0, noise, len(minutes))) / step) * step
    at_ms = BEGINS_MS + np.asarray(minutes) * MINUTE_MS
    return readings(np.round(at_ms), np.round(1000 * shown))
