"""May this dose go into this person now, and with which needle."""

# The public names are the modules: a question then loads only what it needs.
__all__ = [
    "breach",
    "checks",
    "deviations",
    "facts",
    "in_hand",
    "look_alike",
    "needle",
    "overrides",
    "person",
    "right_person",
]
