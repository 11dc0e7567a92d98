"""Whether a vial may go where somebody wants to put it."""

# The public names are the modules: a question then loads only what it needs.
__all__ = ["moves", "signed"]
