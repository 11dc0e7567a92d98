"""Who stays how long after a dose, what an emergency needs next, and is the kit there."""

__all__ = [
    "card_fold",
    "emergency",
    "kit",
    "kit_fold",
    "leaving",
    "reaction_fold",
    "stay_fold",
]
