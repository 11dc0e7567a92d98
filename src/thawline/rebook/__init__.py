"""When may, and when should, the second dose come? Calendar days, never booked early."""

# The public names are the modules: a question then loads only what it needs.
__all__ = ["ages", "dates", "due", "interval", "series", "strictest", "to_come"]
