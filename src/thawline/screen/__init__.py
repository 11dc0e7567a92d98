"""May this person have the dose today, by the answers they gave; and how long do they stay."""

# The public names are the modules: a question then loads only what it needs.
__all__ = ["answers", "asking", "clearing", "decision", "verdict"]
