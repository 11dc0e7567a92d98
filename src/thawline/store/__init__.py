"""
Was it in range, for how long, and what do we not know? The cold store.

Readings say what a probe saw at an instant and nothing about the time between. Everything
here keeps the two apart: what was seen, what it is at least and at most, what is not known.
"""

# The public names are the modules: a door that imported them would bring NumPy into every
# command that asks for the name of a refrigerator.
__all__ = ["readings", "units"]
