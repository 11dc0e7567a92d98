"""
What does the whole say? Rates with their ranges, seen against expected, signals in time.

Exact methods only; where the numbers are too few to tell, the answer says so in words.
"""

# The public names are the modules: a door that imported them would bring SciPy along.
__all__ = ["among_many", "intervals", "looks", "plainly", "sequential", "two_groups"]
