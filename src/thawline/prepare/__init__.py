"""What can be drawn from a vial, and how many syringes may lie drawn ahead."""

# The public names are the modules: a question then loads only what it needs.
__all__ = ["by_volume", "one_table", "opening", "predraw"]
