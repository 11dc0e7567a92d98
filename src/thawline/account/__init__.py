"""Where did every dose go? Received = left + given + wasted + sent + missing, to the dose."""

# The public names are the modules: a question then loads only what it needs.
__all__ = [
    "balance",
    "causes",
    "closeout",
    "clues",
    "fold",
    "likeliest",
    "postings",
    "searching",
    "traces",
    "wastage",
]
